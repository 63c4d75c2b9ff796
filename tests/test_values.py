"""Value classes behave as those of the standard library, which is the reference here."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
from functools import cached_property
from typing import Any

import pytest

from floorplan import values


class Reading:
    """A value with every kind of field that the library declares."""

    name: str
    metres: float = 0.0
    notes: list = values.field(default_factory=list)
    line: Any = values.field(default=None, compare=False)
    raw: bytes = values.field(default=b"", repr=False)


class Span:
    """A value that checks itself and keeps what it worked out."""

    start: float
    stop: float
    length: float = values.field(init=False, compare=False)

    def __post_init__(self) -> None:
        """Measure."""
        object.__setattr__(self, "length", self.stop - self.start)

    @cached_property
    def middle(self) -> float:
        """Half way."""
        return (self.start + self.stop) / 2.0


def _reference(cls: type, **how: bool) -> Any:
    """The same class made by the standard library."""
    body = {k: v for k, v in vars(cls).items() if k not in ("__dict__", "__weakref__")}
    for name in cls.__annotations__:
        if isinstance(body.get(name), values.field):
            given = body[name]
            absent = {"default", "default_factory"} - {
                k for k in ("default", "default_factory") if type(getattr(given, k)) is not values._Missing
            }
            kept = {k: getattr(given, k) for k in ("default", "default_factory", "init", "repr", "compare")}
            body[name] = dataclasses.field(**{k: v for k, v in kept.items() if k not in absent})
    return dataclasses.dataclass(**how)(type(cls.__name__, (), body))


WAYS = [
    {"frozen": True, "slots": True},
    {"frozen": True, "slots": True, "kw_only": True},
    {"frozen": True, "slots": True, "eq": False},
    {"frozen": True},
    {"slots": True},
]


@pytest.mark.parametrize("how", WAYS, ids=str)
def test_a_value_does_what_the_standard_one_does(how: dict[str, bool]) -> None:
    """Signature, text, equality, hash and patterns are the same."""
    ours, theirs = values.dataclass(**how)(Reading), _reference(Reading, **how)
    assert list(inspect.signature(ours).parameters) == list(inspect.signature(theirs).parameters)
    assert ours.__match_args__ == theirs.__match_args__
    assert (ours.__hash__ is None) == (theirs.__hash__ is None)
    assert hasattr(ours(name="a"), "__dict__") == hasattr(theirs(name="a"), "__dict__")
    for made in (ours, theirs):
        one, same, other = made(name="a", line=1), made(name="a", line=2), made(name="a", metres=1.0)
        assert (one == same) is how.get("eq", True)
        assert one != other and one != "a"
        assert one.notes == [] and one.notes is not same.notes
    mine, stock = ours(name="a", raw=b"x"), theirs(name="a", raw=b"x")
    assert repr(mine).split(".")[-1] == repr(stock).split(".")[-1]
    assert dataclasses.asdict(mine) == dataclasses.asdict(stock)
    assert [f.name for f in dataclasses.fields(mine)] == [f.name for f in dataclasses.fields(stock)]
    assert values.replace(mine, metres=2.0) == dataclasses.replace(mine, metres=2.0) or how.get("eq") is False


def test_a_frozen_value_stays_as_it_was_made() -> None:
    """Setting and deleting are refused with the standard error."""
    value = values.dataclass(frozen=True, slots=True)(Reading)("a")
    with pytest.raises(dataclasses.FrozenInstanceError):
        value.name = "b"
    with pytest.raises(dataclasses.FrozenInstanceError):
        del value.name
    made = values.dataclass(frozen=True)(Span)
    assert hash(made(1.0, 2.0)) == hash(made(1.0, 2.0))


def test_wrong_arguments_are_refused() -> None:
    """Missing, unknown and positional arguments fail as in any function."""
    made = values.dataclass(frozen=True, slots=True, kw_only=True)(Reading)
    for arguments in ({}, {"name": "a", "what": 1}):
        with pytest.raises(TypeError):
            made(**arguments)
    with pytest.raises(TypeError):
        made("a")


def test_what_is_worked_out_is_kept() -> None:
    """A field outside the constructor and a cached property work on a value with a dict."""
    span = values.dataclass(frozen=True)(Span)(1.0, 4.0)
    assert (span.length, span.middle, span.middle) == (3.0, 2.5, 2.5)
    assert repr(span).endswith("(start=1.0, stop=4.0, length=3.0)")
    assert values.replace(span, stop=3.0).length == 2.0


def test_a_value_can_be_sent_to_another_process() -> None:
    """Values are pickled and copied whole."""
    from floorplan.units.length import Length

    length = Length(1.5, "1.5 m")
    assert pickle.loads(pickle.dumps(length)) == copy.deepcopy(length) == length


def test_values_of_the_standard_library_can_be_replaced_too() -> None:
    """`replace` takes any of the standard library's own."""
    assert values.replace(dataclasses.make_dataclass("One", ["x"])(1), x=2).x == 2
