"""The public names, as someone meets them in a notebook."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import sample_sheets
import shapes

import floorplan


def test_public_names_are_listed() -> None:
    """What completion offers is what can be had."""
    assert {"load", "takeoff", "materials", "draw"} <= set(dir(floorplan))
    assert all(hasattr(floorplan, name) for name in dir(floorplan))


def test_plan_shows_itself_in_a_notebook() -> None:
    """A notebook draws a value by its `_repr_svg_`: here the crew sheet's first page."""
    plan = shapes.square()
    drawn = plan._repr_svg_()
    assert ET.fromstring(drawn).tag == "{http://www.w3.org/2000/svg}svg"
    assert drawn.encode() == floorplan.draw(plan, sheet="crew")[0]


def test_crew_sheet_has_its_zones_whether_days_are_given_or_not() -> None:
    """The work plan is worked out where the caller has none at hand."""
    measured = sample_sheets.takeoff("l-patio")
    days = floorplan.schedule(measured.plan, measured)
    assert days.pours
    given = floorplan.draw(measured.plan, sheet="crew", days=days)
    assert floorplan.draw(measured.plan, sheet="crew") == given
    assert "zone" in b"".join(given).decode().lower()
