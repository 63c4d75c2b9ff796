"""Coating systems read from files: the shipped ones by name, a user's own by path or name beside the plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Final

from ..errors import DataFileError, Fault, Place
from ..files.cells import Faults
from ..files.noted import is_there
from ..files.table import Table, choose
from ..files.text import read_text
from ..files.toml import read_toml
from ..units.length import UnitStyle
from ..units.reading import read_count
from ..values import replace
from .layers import named_product, read_layers
from .model import Coat, CoatingSystem, Grade, Layer, Measure, Product, Surface
from .products import read_product

_DATA: Final = Path(__file__).parent / "data"
# Data files that are no systems.
_LIBRARY: Final = ("products", "surfaces")
_JOIN: Final = "+"
_BORDERED: Final = frozenset({Surface.BORDER, Surface.FIELD})


@cache
def shipped() -> tuple[str, ...]:
    """Names of the systems that come with the package, in alphabetical order."""
    names = sorted(path.stem for path in _DATA.glob("*.toml"))
    return tuple(name for name in names if name not in _LIBRARY)


@cache
def grades() -> tuple[Grade, ...]:
    """How rough a floor may be: the names that a slab's `surface` may take with any shipped system."""
    faults = Faults()
    root = read_toml(read_text(_DATA / "surfaces.toml"), "surfaces.toml", error=DataFileError).table(faults)
    found = _grades(root)
    faults.raise_if_any(DataFileError)
    return found


@cache
def shipped_products() -> Mapping[str, Product]:
    """The products of the shipped systems by name."""
    faults = Faults()
    root = read_toml(read_text(_DATA / "products.toml"), "products.toml", error=DataFileError).table(faults)
    found = _products(root, {}, "products.toml (shipped)")
    faults.raise_if_any(DataFileError)
    return found


def load_system(name_or_path: str, beside: Path | None = None, folders: Sequence[Path] = ()) -> CoatingSystem:
    """A coating system by shipped name, by path, or by the name of a file beside the plan or in `folders`.

    Args:
        name_or_path: `outdoor-full-flake`, `systems/ours.toml`, or a system with add-ons joined by `+`.
        beside: folder that paths start from; None where there is none, as for a plan on standard input.
        folders: where NAME.toml is looked for when NAME is not shipped.

    Raises:
        DataFileError: no such system, or faults in its file.
    """
    names = [part.strip() for part in name_or_path.split(_JOIN)]
    systems = [_load_one(name, beside, folders) for name in names]
    base = [s for s, add_on in systems if not add_on]
    if len(base) != 1:
        what = "no system, only add-ons" if not base else "more than one system"
        raise DataFileError(
            Fault(
                code="system-add-on",
                text=f"{name_or_path} names {what}",
                hint="name one system, then its add-ons: garage-full-flake + moisture-layer",
            )
        )
    system = base[0]
    for extra, add_on in systems:
        system = with_layer_before(system, extra) if add_on else system
    return system


def _load_one(name: str, beside: Path | None, folders: Sequence[Path]) -> tuple[CoatingSystem, bool]:
    if name in shipped():
        return _shipped(name)
    if name.lower() in shipped():
        return _shipped(name.lower())
    path = _find(name, beside, folders)
    return read_system(read_text(path, error=DataFileError), str(path), path.stem)


@cache
def _shipped(name: str) -> tuple[CoatingSystem, bool]:
    return read_system(read_text(_DATA / f"{name}.toml"), f"{name}.toml (shipped)", name)


def _find(name: str, beside: Path | None, folders: Sequence[Path]) -> Path:
    if is_path(name):
        return (beside or Path()) / name
    for folder in [*([beside] if beside is not None else []), *folders]:
        path = folder / f"{name}.toml"
        if name and is_there(path):
            if folder is beside and not path.resolve().is_relative_to(folder.resolve()):
                raise DataFileError(_leads_out(name))
            return path
    from difflib import get_close_matches

    near = get_close_matches(name.lower(), shipped(), n=1, cutoff=0.5)
    known = ", ".join(shipped())
    hint = (
        f"did you mean {near[0]}? known: {known}" if near else f"known: {known}, or the path of a system file"
    )
    raise DataFileError(
        Fault(code="system-unknown", text=f"there is no coating system {name or 'without a name'}", hint=hint)
    )


def is_path(name: str) -> bool:
    """True for the path of a system's file, False for a system's name."""
    return name.lower().endswith(".toml") or "/" in name or "\\" in name


def _leads_out(name: str) -> Fault:
    """A plan from a stranger must not take in files from elsewhere on the disk."""
    return Fault(
        code="path-leaves-folder",
        text=f"{name}.toml cannot be taken: a link leads out of the folder of the plan",
        hint="put the file itself beside the plan",
    )


def with_layer_before(system: CoatingSystem, extra: CoatingSystem) -> CoatingSystem:
    """A system with an add-on's layers before its first coat, which is then no longer on the ground floor."""
    at = next((i for i, layer in enumerate(system.layers) if isinstance(layer, Coat)), len(system.layers))
    joined = system.layers[:at] + extra.layers + system.layers[at:]
    layers: list[Layer] = []
    seen = False
    for layer in joined:
        if isinstance(layer, Coat) and layer.first:
            layers.append(replace(layer, first=not seen))
            seen = True
        else:
            layers.append(layer)
    return replace(
        system,
        name=f"{system.name} {_JOIN} {extra.name}",
        title=f"{system.title}, {extra.title}",
        customer=", ".join(text for text in (system.customer, extra.customer) if text),
        layers=tuple(layers),
        build=", ".join(text for text in (system.build, extra.build) if text),
        cautions=_joined(system.cautions, extra.cautions),
        never=_joined(system.never, extra.never),
        typical=system.typical or extra.typical,
    )


def _joined(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(first + second))


def read_system(
    text: str, file: str, name: str, *, own: Mapping[str, Product] | None = None
) -> tuple[CoatingSystem, bool]:
    """The system in a text, and whether it is an add-on to another.

    Args:
        text: TOML.
        file: name for faults and for the source of its rates.
        name: of the system, unless the text gives one.
        own: products that go over those of the text, from a file that extends it.

    Raises:
        DataFileError: every fault of the text.
    """
    faults = Faults()
    root = read_toml(text, file, error=DataFileError).table(faults)
    products = {**shipped_products(), **_products(root, shipped_products(), file), **(own or {})}
    base = _base(root, products)
    add_on = root.flag("add_on", False)
    tables = root.tables("layer", required=base is None)
    read = tuple(layer for table in tables for layer in read_layers(table, products))
    system = _system(root, products, read, name, file, base or CoatingSystem(name=name, title=name))
    root.finish()
    _check(system, root, file, add_on=add_on, complete=not len(faults))
    faults.raise_if_any(DataFileError)
    return system, add_on


def _base(root: Table, products: Mapping[str, Product]) -> CoatingSystem | None:
    """The shipped system that a file extends, read again with the file's own products in its layers."""
    cell = root.cell("extends")
    if cell is None:
        return None
    name = choose(cell, {known: known for known in shipped()}, root.faults, "extends")
    if name is None:
        return CoatingSystem(name="", title="")
    text = read_text(_DATA / f"{name}.toml", error=DataFileError)
    return read_system(text, f"{name}.toml (shipped)", name, own=products)[0]


def _system(
    root: Table,
    products: Mapping[str, Product],
    layers: tuple[Layer, ...],
    name: str,
    file: str,
    base: CoatingSystem,
) -> CoatingSystem:
    own = _grades(root)
    known = {grade.name: grade for grade in (*grades(), *own)}
    border = root.length("border", UnitStyle.FT_IN, above_zero=True)
    return CoatingSystem(
        name=root.text("name", name),
        title=root.text("title", base.title),
        layers=layers or base.layers,
        use=root.text("use", base.use),
        outdoors=root.flag("outdoors", base.outdoors),
        grade=root.text("surface", base.grade),
        grades=tuple(known.values()),
        build=root.text("build", base.build),
        joint_filler=_joint(root, "joint_filler", "joint filler", products),
        joint_sealant=_joint(root, "joint_sealant", "joint sealant", products),
        cautions=_lines(root, "cautions") or base.cautions,
        never=_lines(root, "never") or base.never,
        typical=root.flag("typical", True),
        customer=root.text("customer", base.customer),
        border_m=border.m if border else base.border_m,
        least_crew=root.count("least_crew", base.least_crew, low=1, high=20) or base.least_crew,
        source=f"{file}, {base.source}" if base.source else file,
    )


def _check(system: CoatingSystem, root: Table, file: str, *, add_on: bool, complete: bool) -> None:
    names = [coat.name for coat in system.coats] + [thrown.name for thrown in system.broadcasts]
    for name in dict.fromkeys(n for n in names if names.count(n) > 1):
        root.faults.add(
            "layer-twice", f"two layers are named {name}", Place(file=file), "give each its own name"
        )
    bordered = [coat.name for coat in system.coats if _BORDERED & {*coat.on}]
    bordered += [thrown.name for thrown in system.broadcasts if _BORDERED & {*thrown.on}]
    if bordered and not system.border_m:
        text = f"{', '.join(bordered)} goes on the border or the field, but no border is given"
        root.faults.add("border-missing", text, Place(file=file), 'write border = "12 in"')
    known = [grade.name for grade in system.grades]
    if system.grade and system.grade not in known:
        from difflib import get_close_matches

        near = get_close_matches(system.grade, known, n=1)
        hint = f"did you mean {near[0]}?" if near else f"known: {', '.join(known)}"
        root.fault("value-unknown", f"surface: {system.grade} is not known", "surface", hint)
    if complete and not add_on and not system.grade and any(coat.first for coat in system.coats):
        hint = f'write surface = "…" with one of: {", ".join(known)}'
        root.faults.add(
            "surface-missing", "the system has a first coat but no surface", Place(file=file), hint
        )


def _joint(root: Table, key: str, usual: str, products: Mapping[str, Product]) -> Product | None:
    cell = root.cell(key)
    product = products.get(usual) if cell is None else named_product(cell, products, root, key)
    if product is not None and product.measure is not Measure.VOLUME:
        text = f"{product.name} is not sold by volume, so it cannot fill a joint"
        root.fault("joint-measure", text, key, "write its packs in gallons, litres or fluid ounces")
    return product


def _lines(root: Table, key: str) -> tuple[str, ...]:
    return tuple(cell.text for cell in root.texts(key))


def _products(root: Table, known: Mapping[str, Product], source: str) -> dict[str, Product]:
    found: dict[str, Product] = {}
    for name, table in root.named_tables("product").items():
        found[name] = read_product(table, name, source, base=known.get(name))
    return found


def _grades(root: Table) -> tuple[Grade, ...]:
    found = []
    for name, table in root.named_tables("surfaces").items():
        factor = table.number("factor", required=True, low=1.0, high=10.0)
        ends = [cell.read(read_count, table.faults, "range") or 1.0 for cell in table.texts("range")]
        found.append(
            Grade(
                name=name,
                factor=factor or 1.0,
                low=min(ends, default=factor or 1.0),
                high=max(ends, default=factor or 1.0),
                profile=table.text("profile", ""),
                note=table.text("note", ""),
            )
        )
        table.finish()
    return tuple(found)
