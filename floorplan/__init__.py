"""Floor-plan drawings with area, edge and joint takeoff for coated slabs.

>>> import floorplan
>>> plan = floorplan.load("sample_plans/l-patio.toml")          # doctest: +SKIP
>>> takeoff = floorplan.takeoff(plan)                           # doctest: +SKIP
>>> takeoff.slabs[0].net_area_m2                                # doctest: +SKIP

Values are immutable, lengths in metres, areas in m². Everything loads on first use, so that importing the
package costs next to nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .api import draw, load, materials, read, schedule, takeoff
    from .errors import Fault, FloorplanError, Notice, Place
    from .measure.model import Takeoff
    from .plan.model import Plan

from .version import VERSION as __version__

__all__ = [
    "Fault",
    "FloorplanError",
    "Notice",
    "Place",
    "Plan",
    "Takeoff",
    "__version__",
    "draw",
    "load",
    "materials",
    "read",
    "schedule",
    "takeoff",
]

_HOME = {
    "draw": "api",
    "load": "api",
    "materials": "api",
    "read": "api",
    "schedule": "api",
    "takeoff": "api",
    "Fault": "errors",
    "FloorplanError": "errors",
    "Notice": "errors",
    "Place": "errors",
    "Plan": "plan.model",
    "Takeoff": "measure.model",
}


def __getattr__(name: str) -> Any:
    """Load a public name from its module the first time it is asked for."""
    if name not in _HOME:
        raise AttributeError(f"module 'floorplan' has no attribute {name!r}")
    from importlib import import_module

    value = getattr(import_module(f".{_HOME[name]}", __name__), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """The public names."""
    return sorted(__all__)
