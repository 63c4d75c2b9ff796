"""Arguments and options of the commands that read a drawing from elsewhere."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import click

from floorplan.foreign.drawing_units import UNITS
from floorplan.units.length import Length, UnitStyle
from floorplan.units.reading import Unreadable, read_length

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]

_KNOWN = re.compile(r"\s*(?:(\w+)\s*-\s*(\w+)\s*=)?\s*(.+)")
_RATIO = re.compile(r"\s*1\s*:\s*(\d+(?:\.\d+)?)\s*")


class LengthType(click.ParamType):
    """A length as a person writes it; a bare number is feet."""

    name = "length"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Length:
        """The length, above nothing."""
        if isinstance(value, Length):
            return value
        try:
            length = read_length(str(value), UnitStyle.FT_IN)
        except Unreadable as problem:
            self.fail(f"{problem.text}; {problem.hint}", param, ctx)
        if not length.m > 0.0:
            self.fail(f"{value}: the length is not more than nothing", param, ctx)
        return length


class KnownType(click.ParamType):
    """A taped length: `A-B = 24'`, or the length alone for the longest side."""

    name = "known"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, str, Length]:
        """Both corners ("" for none) and the length."""
        if isinstance(value, tuple):
            return value
        match = _KNOWN.fullmatch(str(value))
        if match is None or (match[1] is None and "=" in str(value)):
            self.fail('write it like "A-B = 24\'"', param, ctx)
        return match[1] or "", match[2] or "", LengthType().convert(match[3], param, ctx)


class RatioType(click.ParamType):
    """The scale of a paper drawing, `1:48`."""

    name = "ratio"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """48 for 1:48."""
        if isinstance(value, float):
            return value
        match = _RATIO.fullmatch(str(value))
        if match is None or float(match[1]) <= 0.0:
            self.fail("write it like 1:48", param, ctx)
        return float(match[1])


drawing_argument: Decorator = click.argument("file", metavar="FILE", type=click.Path())
units_option: Decorator = click.option(
    "--units",
    type=click.Choice(list(UNITS)),
    help="Unit of the drawing, where the file does not say or is wrong.",
)
scale_option: Decorator = click.option(
    "--scale",
    "paper_scale",
    type=RatioType(),
    metavar="RATIO",
    help="Of an SVG: the scale of its paper, 1:48.",
)
snap_option: Decorator = click.option(
    "--snap", type=LengthType(), metavar="LENGTH", help="Close gaps up to this; left out: 1/4 in."
)
