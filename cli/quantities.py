"""Parameter types: temperatures, shares, speeds and moments as people write them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click


class Written(click.ParamType):
    """A value read by one of the library's readers; what it cannot read is a wrong use of the option."""

    def __init__(self, name: str, reader: str, example: str) -> None:
        self.name, self._reader, self._example = name, reader, example

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The value in SI, or a moment."""
        if not isinstance(value, str):
            return value
        from floorplan.units.notation import Unreadable

        try:
            return self._read()(value)
        except Unreadable as problem:
            self.fail(f"{problem.text}; {problem.hint or f'write it like {self._example}'}", param, ctx)

    def _read(self) -> Callable[[str], Any]:
        from importlib import import_module

        module, _, name = self._reader.rpartition(":")
        reader: Callable[[str], Any] = getattr(import_module(module), name)
        return reader

    def get_metavar(self, param: click.Parameter, ctx: click.Context | None = None) -> str:
        """As the help shows it."""
        return self.name.upper()


TEMPERATURE = Written("temp", "floorplan.units.quantities:read_temperature", "75 F")
HUMIDITY = Written("share", "floorplan.plan.forecast:read_humidity", "65 %")
SPEED = Written("speed", "floorplan.units.quantities:read_speed", "8 mph")
AT = Written("when", "floorplan.plan.forecast:read_time", "2027-05-04 07:30")
