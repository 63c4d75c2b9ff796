"""Every import in the library points down: the code is held to the table of ranks."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent / "floorplan"

RANKS = {
    "patterns": -1,
    "values": -1,
    "version": 0,
    "errors": 0,
    "units": 1,
    "geometry": 2,
    "files": 2,
    "survey": 3,
    "foreign": 3,
    "system": 3,
    "plan": 4,
    "measure": 5,
    "work": 6,
    "order": 7,
    "drawing": 8,
    "report": 8,
    "render": 9,
    "api": 10,
}

# Modules that may open files for reading; nobody in the library writes but the stock file.
HEAVY = ("shapely", "numpy", "scipy", "ezdxf", "matplotlib", "svgwrite")

MODULES = sorted(path for path in ROOT.rglob("*.py") if path.name != "__init__.py" or path.parent != ROOT)


def _imports(path: Path) -> list[tuple[str, int]]:
    """Names of the library's own packages that a module imports, with the line."""
    package = ("floorplan", *path.relative_to(ROOT).parent.parts)
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [(alias.name.split("."), node.lineno) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = list(package[: len(package) - node.level + 1]) if node.level else []
            full = base + (node.module.split(".") if node.module else [])
            names = [alias.name for alias in node.names] if full == ["floorplan"] else [""]
            found += [(full + [name], node.lineno) for name in names]
    return [(parts[1], line) for parts, line in found if parts[0] == "floorplan" and len(parts) > 1]


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_point_down(path: Path) -> None:
    """A module imports only lower ranks or its own package."""
    own = path.relative_to(ROOT).parts[0].removesuffix(".py")
    wrong = [
        f"line {line}: {own} imports {name}"
        for name, line in _imports(path)
        if name and name != own and RANKS[name] >= RANKS[own]
    ]
    assert not wrong


def test_value_classes_are_the_cheap_ones() -> None:
    """Classes of the standard `dataclass` are compiled at import, half a millisecond each."""
    wrong = [
        path.name
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
        and node.module == "dataclasses"
        and {alias.name for alias in node.names} & {"dataclass", "field", "replace"}
    ]
    assert set(wrong) <= {"values.py"}


def test_every_package_has_a_rank() -> None:
    """The table of ranks names what is there and nothing else."""
    there = {
        p.name.removesuffix(".py")
        for p in ROOT.iterdir()
        if p.suffix == ".py" or (p / "__init__.py").exists()
    }
    assert there - {"__init__"} == set(RANKS)


def test_no_module_bears_a_public_name() -> None:
    """Importing a module must not replace a public function of the same name."""
    import floorplan

    functions = {name for name in floorplan.__all__ if name.islower()}
    assert not functions & {p.name.removesuffix(".py") for p in ROOT.iterdir()}


@pytest.mark.parametrize("arguments", [["--help"], ["packet", "--help"], ["check", "--help"], ["--version"]])
def test_help_loads_nothing_heavy(arguments: list[str]) -> None:
    """Help and completion run at every Tab and load no geometry, drawing or solver library."""
    code = (
        "import sys\n"
        "from floorplan_cli.main import cli\n"
        f"cli({arguments!r}, standalone_mode=False)\n"
        f"print('heavy:', [m for m in {HEAVY!r} if m in sys.modules])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.rstrip().endswith("heavy: []")
