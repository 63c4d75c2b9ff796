"""Coating systems as layers of data: what is spread on which surface, at what rate, from what packs.

A *system* is a list of *layers* in the order of the work. A layer spreads a *product*, sold in *packs*
(kits, boxes, bags), over one or more *surfaces* (floor, faces, steps, joints …) at a rate.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatingSystem:
    """A coating system; its owner module deepens this value."""

    name: str
    title: str
