"""Small wrong changes of a module, one at a time.

A mutant is a module with one thing changed: a comparison, a sign, a figure, a condition, what is returned, a
step left out. Words are not changed, nor annotations, documentation and decorators.
"""

from __future__ import annotations

import ast
import copy
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

LIMITS = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
}
SUMS = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Div,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
}
TWINS = {"min": "max", "max": "min", "any": "all", "all": "any", "ceil": "floor", "floor": "ceil"}
LEFT_OUT = {"annotation", "returns", "decorator_list", "type_params", "bases", "keywords_of_class"}
TOLERANCE = 1e-3


@dataclass(frozen=True)
class Mutant:
    """One change of one module.

    Attributes:
        file: the module.
        line: where the change is.
        what: the change in words.
        function: name and first line of the outermost function it is in, None when it runs at import.
        number: which of the module's changes it is.
    """

    file: Path
    line: int
    what: str
    function: tuple[str, int] | None
    number: int

    def tree(self) -> ast.Module:
        """The module with the change made."""
        tree = ast.parse(self.file.read_text("utf-8"))
        for number, (_, _, _, change) in enumerate(_changes(tree)):
            if number == self.number:
                change()
                break
        return ast.fix_missing_locations(tree)


def mutants(file: Path) -> list[Mutant]:
    """Every mutant of a module, in the order of its text."""
    tree = ast.parse(file.read_text("utf-8"))
    return [
        Mutant(file, line, what, function, number)
        for number, (line, what, function, _) in enumerate(_changes(tree))
    ]


Change = tuple[int, str, "tuple[str, int] | None", "Callable[[], None]"]


def _changes(tree: ast.Module) -> Iterator[Change]:
    yield from _under(tree, "", None)


def _under(node: ast.AST, name: str, function: tuple[str, int] | None) -> Iterator[Change]:
    """Changes of all that stands in a node; nodes of a body may be replaced, so they are held by place."""
    for field, value in ast.iter_fields(node):
        if field in LEFT_OUT:
            continue
        for place, child in enumerate(value) if isinstance(value, list) else [(None, value)]:
            if not isinstance(child, ast.AST) or _is_typing_only(child) or _is_words(child):
                continue
            inner_name, inner = name, function
            if isinstance(child, ast.ClassDef):
                inner_name = f"{name}{child.name}."
            elif isinstance(child, ast.FunctionDef) and function is None:
                yield from _under(child.args, name, None)
                inner = (f"{name}{child.name}", _first_line(child))
            elif isinstance(child, ast.arguments):
                continue

            def put(new: ast.AST, field: str = field, place: int | None = place) -> None:
                if place is None:
                    setattr(node, field, new)
                else:
                    getattr(node, field)[place] = new

            for what, new in _variants(child):
                line = getattr(child, "lineno", getattr(node, "lineno", 0))
                yield line, what, inner, lambda put=put, new=new, child=child: put(_placed(new, child))
            yield from _under(child, inner_name, inner)


def _variants(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """What a node could wrongly be."""
    match node:
        case ast.Compare(ops=[op]):
            for other in LIMITS[type(op)]:
                yield _seen(node, _with(node, ops=[other()]))
        case ast.BinOp(op=op) if type(op) in SUMS and not _joins_words(node):
            yield _seen(node, _with(node, op=SUMS[type(op)]()))
        case ast.AugAssign(op=op) if type(op) in SUMS and not _is_words_value(node.value):
            yield _seen(node, _with(node, op=SUMS[type(op)]()))
        case ast.BoolOp(op=op):
            yield _seen(node, _with(node, op=ast.Or() if isinstance(op, ast.And) else ast.And()))
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield _seen(node, operand)
        case ast.Constant(value=bool() as value):
            yield _seen(node, ast.Constant(not value))
        case ast.Constant(value=int() | float() as value):
            yield _seen(node, ast.Constant(_other_number(value)))
        case ast.Call(func=ast.Name(id=name) as func) if name in TWINS:
            yield _seen(node, _with(node, func=ast.copy_location(ast.Name(TWINS[name], ast.Load()), func)))
        case ast.Call(func=ast.Attribute(attr=name, value=ast.Name(id="math")) as func) if name in TWINS:
            yield _seen(node, _with(node, func=_with(func, attr=TWINS[name])))
        case ast.If(test=test) | ast.While(test=test) | ast.IfExp(test=test):
            negated = ast.copy_location(ast.UnaryOp(ast.Not(), test), test)
            yield f"condition negated: {ast.unparse(test)}", _with(node, test=negated)
        case ast.Return(value=ast.AST() as value) if not _is_none(value):
            yield f"returns None, not {ast.unparse(value)}", ast.Return(ast.Constant(None))
        case ast.Expr(value=ast.Call()):
            yield f"left out: {ast.unparse(node)}", ast.Pass()
        case ast.Continue():
            yield "continue -> break", ast.Break()


def _other_number(value: float) -> float:
    """The next whole number, a float a tenth larger, a tolerance a thousand times as wide."""
    if isinstance(value, int) or value == 0:
        return value + 1
    return value * (1000 if abs(value) < TOLERANCE else 1.1)


def _with(node: ast.AST, **changes: object) -> ast.AST:
    """A copy of a node, one level deep, with some fields changed."""
    new = copy.copy(node)
    for name, value in changes.items():
        setattr(new, name, value)
    return new


def _placed(new: ast.AST, old: ast.AST) -> ast.AST:
    return ast.copy_location(new, old) if hasattr(old, "lineno") else new


def _seen(old: ast.AST, new: ast.AST) -> tuple[str, ast.AST]:
    return f"{ast.unparse(old)} -> {ast.unparse(new)}", new


def _first_line(function: ast.FunctionDef) -> int:
    """The line that the compiled function bears: its first decorator's, where it has one."""
    return min([function.lineno, *(decorator.lineno for decorator in function.decorator_list)])


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _is_words(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _is_words_value(node: ast.AST) -> bool:
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def _joins_words(node: ast.BinOp) -> bool:
    return any(_is_words_value(side) for side in ast.walk(node))


def _is_typing_only(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
