"""A drawing looked at before it is used: its loops and the unit they are shown in, nothing refused."""

from __future__ import annotations

from ..foreign.drawing import Drawing, find_loops
from ..foreign.drawing_units import UNITS
from ..foreign.layers import picked
from ..foreign.model import Source
from ..units.figures import Figures
from ..units.length import Length
from ..values import dataclass
from .drawn_roles import figures_for, snap_of


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """A drawing with its loops, metres for one drawing unit (None: not known), figures to show it."""

    drawing: Drawing
    unit_m: float | None
    figures: Figures


def look_at(source: Source, *, units: str = "", snap: Length | None = None, layers: str = "") -> Looked:
    """The loops of a drawing.

    Args:
        source: what was read.
        units: stated by the user, "" for the file's own.
        snap: gaps up to this are closed; None takes the default, less for a small drawing.
        layers: choice of layers, "" for all that are visible.

    Raises:
        DrawingFileError: the layers do not exist, or the line work is too tangled.
    """
    unit_m = UNITS[units] if units else source.unit_m
    wanted = picked(source, layers, "layers") if layers else None
    gap = snap_of(snap, source, unit_m)
    drawing = find_loops(source, layers=wanted, snap=gap, unit_m=unit_m)
    if not drawing.outlines() and source.hatches is not None:
        drawing = find_loops(source, layers=wanted, snap=gap, hatches=True, unit_m=unit_m)
    return Looked(drawing, unit_m, figures_for(unit_m or UNITS["ft"]))
