"""Value classes that cost next to nothing until they are used.

`dataclass`, `field` and `replace` here are those of the standard library to a type checker and to whoever
calls them. The library has some two hundred value classes and a run makes a third of them; `dataclasses`
compiles six methods of each at import, which was a third of the time that a command took. Here a class gets
shared comparison, hash and representation, and its `__init__` is compiled when it is first looked at.

Only what the library uses is there: no inheritance of fields, no ordering, no `InitVar`.
"""

from __future__ import annotations

from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable
    from dataclasses import dataclass as dataclass
    from dataclasses import field as field
    from dataclasses import replace as replace


class _Missing:
    """Stands where a value was not given."""


_MISSING = _Missing()


class _Field:
    """What is declared of one field."""

    __slots__ = ("compare", "default", "default_factory", "init", "repr")

    def __init__(
        self,
        *,
        default: Any = _MISSING,
        default_factory: Any = _MISSING,
        init: bool = True,
        repr: bool = True,
        compare: bool = True,
    ) -> None:
        self.default = default
        self.default_factory = default_factory
        self.init = init
        self.repr = repr
        self.compare = compare


class _Shape:
    """The fields of one class and how it takes them."""

    __slots__ = ("fields", "frozen", "kw_only", "slots")

    def __init__(self, fields: dict[str, _Field], *, frozen: bool, slots: bool, kw_only: bool) -> None:
        self.fields = fields
        self.frozen = frozen
        self.slots = slots
        self.kw_only = kw_only


class _Init:
    """Stands for a class's `__init__` and puts the real one in its place when first looked up."""

    __slots__ = ()

    def __get__(self, value: Any, owner: type) -> Any:
        if isinstance(value, type):  # from Python 3.13 on, `inspect` binds to the class itself
            owner = value
        init = _written(owner)
        type.__setattr__(owner, "__init__", init)
        return init if value is None else init.__get__(value, owner)


class _Fields:
    """Stands for the standard library's own table of fields, which `asdict` and its like ask for."""

    __slots__ = ()

    def __get__(self, value: Any, owner: Any) -> Any:
        import dataclasses

        specs = [
            (
                name,
                owner.__annotations__[name],
                dataclasses.field(kw_only=owner.__shape__.kw_only, **_given(f)),
            )
            for name, f in owner.__shape__.fields.items()
        ]
        table = dataclasses.make_dataclass(owner.__name__, specs).__dataclass_fields__  # type: ignore[attr-defined]
        type.__setattr__(owner, "__dataclass_fields__", table)
        return table


def _given(field: _Field) -> dict[str, Any]:
    return {name: value for name in _Field.__slots__ if (value := getattr(field, name)) is not _MISSING}


def _written(owner: Any) -> Callable[..., None]:
    shape: _Shape = owner.__shape__
    known: dict[str, Any] = {"_missing": _MISSING, "_set": object.__setattr__}
    parameters, lines = (["self", "*"] if shape.kw_only and shape.fields else ["self"]), []
    for name, field in shape.fields.items():
        if not field.init:
            continue
        taken = name
        if field.default_factory is not _MISSING:
            known[f"_of_{name}"] = field.default_factory
            parameters.append(f"{name}=_missing")
            taken = f"_of_{name}() if {name} is _missing else {name}"
        elif field.default is not _MISSING:
            known[f"_of_{name}"] = field.default
            parameters.append(f"{name}=_of_{name}")
        else:
            parameters.append(name)
        lines.append(_kept(owner, name, taken, known))
    if hasattr(owner, "__post_init__"):
        lines.append(" self.__post_init__()")
    exec(f"def __init__({', '.join(parameters)}):\n" + ("\n".join(lines) or " pass"), known)
    init: Callable[..., None] = known["__init__"]
    init.__qualname__ = f"{owner.__qualname__}.__init__"
    init.__module__ = owner.__module__
    return init


def _kept(owner: Any, name: str, taken: str, known: dict[str, Any]) -> str:
    """The line that keeps one argument."""
    if not owner.__shape__.frozen:
        return f" self.{name} = {taken}"
    if not owner.__shape__.slots:
        return f" _set(self, {name!r}, {taken})"
    known[f"_set_{name}"] = owner.__dict__[name].__set__
    return f" _set_{name}(self, {taken})"


def _made(cls: Any, *, frozen: bool, slots: bool, kw_only: bool, eq: bool, repr: bool) -> Any:
    body = dict(cls.__dict__)
    body.pop("__dict__", None)
    body.pop("__weakref__", None)
    fields = {}
    for name in cls.__annotations__:
        default = body.pop(name, _MISSING)
        fields[name] = default if isinstance(default, _Field) else _Field(default=default)
    body["__qualname__"] = cls.__qualname__
    body["__shape__"] = _Shape(fields, frozen=frozen, slots=slots, kw_only=kw_only)
    body["__dataclass_fields__"] = _Fields()
    body.setdefault("__init__", _Init())
    body["__match_args__"] = () if kw_only else tuple(name for name, f in fields.items() if f.init)
    if repr:
        body.setdefault("__repr__", _repr)
    if eq:
        _compared(body, [name for name, f in fields.items() if f.compare], frozen=frozen)
    if slots:
        body["__slots__"] = tuple(fields)
    if frozen:
        body |= _FROZEN
        if slots:
            body |= _KEPT_IN_SLOTS
    return type(cls)(cls.__name__, cls.__bases__, body)


def _compared(body: dict[str, Any], names: list[str], *, frozen: bool) -> None:
    """Give a class comparison by the named fields and, where it cannot change, the hash of them."""
    taken: Callable[[Any], Any]
    if len(names) > 1:
        taken = attrgetter(*names)
    else:

        def taken(value: Any) -> Any:
            return tuple(getattr(value, name) for name in names)

    def equal(self: Any, other: Any) -> Any:
        return taken(self) == taken(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: Any) -> int:
        return hash((taken(self),))

    body.setdefault("__eq__", equal)
    if body.get("__hash__") is None:
        body["__hash__"] = hashed if frozen else None


def _repr(self: Any) -> str:
    """As one would write the value."""
    shown = ", ".join(f"{n}={getattr(self, n)!r}" for n, f in self.__shape__.fields.items() if f.repr)
    return f"{self.__class__.__qualname__}({shown})"


def _refuse(self: Any, name: str, *_: Any) -> None:
    """Hold the value as it was made."""
    from dataclasses import FrozenInstanceError

    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _getstate(self: Any) -> list[Any]:
    """What a copy in another process needs."""
    return [getattr(self, name) for name in self.__slots__]


def _setstate(self: Any, state: list[Any]) -> None:
    """Take what the other process kept."""
    for name, value in zip(self.__slots__, state, strict=True):
        object.__setattr__(self, name, value)


_FROZEN = {"__setattr__": _refuse, "__delattr__": _refuse}
_KEPT_IN_SLOTS = {"__getstate__": _getstate, "__setstate__": _setstate}

if not TYPE_CHECKING:

    def dataclass(*, frozen=False, slots=False, kw_only=False, eq=True, repr=True):
        """As `dataclasses.dataclass`, made cheaply: see above."""
        return lambda cls: _made(cls, frozen=frozen, slots=slots, kw_only=kw_only, eq=eq, repr=repr)

    field = _Field

    def replace(value, /, **changes):
        """The same value with some fields changed, as `dataclasses.replace`."""
        if not hasattr(value, "__shape__"):
            from dataclasses import replace as replaced

            return replaced(value, **changes)
        for name, declared in value.__shape__.fields.items():
            if declared.init and name not in changes:
                changes[name] = getattr(value, name)
        return value.__class__(**changes)
