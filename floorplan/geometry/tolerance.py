"""Every tolerance of the geometry, with its reason. Lengths in metres."""

from __future__ import annotations

from typing import Final

FLAT_M: Final = 2e-5
"""How far a chord may stand off its arc where a polygon stands in for it: chosen so that the strip ground
by hand round a 4 in post keeps its area to 1e-4. Figures that must be exact never come from such a
polygon."""

SERIES_BELOW_BULGE: Final = 0.25
"""Below this bulge the segment area comes from its power series; above it the closed form loses under one
digit."""

HALF_CIRCLE_SLACK: Final = 1e-9
"""A radius may fall short of half its chord by this share and still mean a half circle: 3.81 m read from feet
and 7.62 m read from inches need not divide exactly."""

LARGEST_STEP_RAD: Final = 0.7853981633974483
"""An eighth of a turn (pi/4): the largest step of a flattened arc, whatever the tolerance."""

ROUNDING: Final = 1e-9
"""Share by which a count may pass a whole number through rounding alone and still mean that number."""

SNAP_M: Final = 1e-9
"""Points this near are the same point, and a point this near a side lies on it. A nanometre is below anything
built and well above the rounding of a site's coordinates about a local origin."""

SNAP_ULPS: Final = 8.0
"""Where coordinates are so large that a double cannot hold `SNAP_M`, this many of its steps stand in for it:
one step in each coordinate of two points that were turned and shifted on the way."""

TOUCH_M: Final = 1e-6
"""Two common points of one pair of sides this near are one touch: rounding along a touch goes with the square
root of rounding across it, 1e-8 m for circles of a metre."""

BOUNDARY_M: Final = 5e-4
"""A line this near the edge of the floor runs along the edge: half a millimetre takes in coordinates written
to a thousandth of a foot and leaves a line a millimetre inside the edge where it is."""

SURVEYED_BOUNDARY_M: Final = 0.0127
"""The same where the corners were taped and fitted: half an inch, within which a taped length counts as good
(common practice, no source). Nobody saws a joint so near a wall."""

DOUBLED_M: Final = 1e-5
"""Lines this near are one line drawn twice: above the rounding of drawing files, below any two saw cuts."""

RUN_WIDTHS: Final = 40.0
"""A line runs along another only if it stays near it for this many times the distance (under 3 degrees);
otherwise it crosses it, and loses nothing."""

GRID_LINES: Final = 20_000
"""More lines than this in one grid are a slip of the pen, not a floor."""

DISC_SHARE: Final = 1e-5
"""Share of its area by which a disc made of chords may fall short: a tenth of the 1e-4 allowed for reported
areas, so that a floor that is all corners stays within it."""

SPECK_M2: Final = 1e-6
"""A part smaller than a square millimetre is what rounding leaves, not floor."""
