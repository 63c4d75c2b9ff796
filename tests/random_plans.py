"""Random plans in the user's own notation, from a seed: outlines, arcs, cut-outs, joints, unknown sides."""

from __future__ import annotations

import itertools
import math
import random

KINDS = (
    "wall", "siding", "open", "open", "step up", "step down", "garage door", "threshold",
    "slab", "fence", "low wall", "stem wall", "unknown",
)  # fmt: skip
POSTS = ("post", "low wall", "drain", "coping")


def random_plan(seed: int) -> str:
    """A plan that can be measured: star-shaped or stepped outline of 4 to 14 sides, 3 to 18 m across."""
    dice = random.Random(seed)
    metric = dice.random() < 0.3
    size = dice.uniform(3.0, 18.0)
    corners = _stepped(dice, size) if dice.random() < 0.5 else _star(dice, size)
    rows = []
    for i, (x, y) in enumerate(corners):
        kind = dice.choice(KINDS)
        chord = math.dist((x, y), corners[(i + 1) % len(corners)])
        if dice.random() < 0.12:
            rise = _length(0.06 * chord, metric) + (" m" if metric else "")
            kind += f", arc rise {rise} {dice.choice(('out', 'in'))}"
        rows.append(f"{_label(i)}  {_length(x, metric)}, {_length(y, metric)} | {kind}")
    outline = "\n".join(rows)
    units = "m" if metric else "ft-in"
    text = f'title = "Random {seed}"\nsite = "Nowhere {seed}"\nunits = "{units}"\n'
    if dice.random() < 0.5:
        text += f'[sheet]\nrevision = "B"\ndate = "2027-01-{1 + seed % 28:02d}"\nnorth = "up"\n'
    text += f'[[slab]]\nname = "Slab {seed}"\nsystem = "outdoor-full-flake"\noutline = """\n{outline}\n"""\n'
    return text + _cutouts(dice, size, metric) + _joints(dice, size, metric)


def _label(i: int) -> str:
    return chr(65 + i % 26) + ("" if i < 26 else str(i // 26))


def _length(value_m: float, metric: bool) -> str:
    if metric:
        return f"{value_m:.3f}"
    sixteenths = round(value_m / 0.0254 * 8)
    sign = "-" if sixteenths < 0 else ""
    feet, rest = divmod(abs(sixteenths), 96)
    inches, eighths = divmod(rest, 8)
    return f"{sign}{feet}' {inches}{f' {eighths}/8' if eighths else ''}\""


def _star(dice: random.Random, size: float) -> list[tuple[float, float]]:
    count = dice.randint(4, 12)
    radii = [0.5 * size * dice.uniform(0.55, 1.0) for _ in range(count)]
    turns = [2.0 * math.pi * (k + dice.uniform(-0.25, 0.25)) / count for k in range(count)]
    return [(r * math.cos(t), r * math.sin(t)) for r, t in zip(radii, turns, strict=True)]


def _stepped(dice: random.Random, size: float) -> list[tuple[float, float]]:
    """A wall along the foot and a far edge in steps."""
    count = dice.randint(1, 6)
    xs = sorted(dice.sample(range(1, 40), count - 1)) if count > 1 else []
    stops = [0.0, *(size * x / 40.0 for x in xs), size]
    half = -0.5 * size
    corners = [(half, half), (half + size, half)]
    for low, high in reversed(list(itertools.pairwise(stops))):
        y = half + size * dice.uniform(0.35, 0.9)
        corners += [(half + high, y), (half + low, y)]
    return corners


def _cutouts(dice: random.Random, across: float, metric: bool) -> str:
    text = ""
    for k in range(dice.randint(0, 4)):
        x, y = (across * dice.uniform(-0.18, -0.04) for _ in range(2))
        wide, deep = (across * dice.uniform(0.01, 0.07) for _ in range(2))
        if dice.random() < 0.5:
            size = f"{_length(wide, metric)} x {_length(deep, metric)}"
            form = f"size = '''{size}'''\nturn = \"{dice.choice((0, 0, 30))} deg\""
        else:
            form = f"round = '''{_length(wide, metric)}'''"
        at = f"'''{_length(x, metric)}, {_length(y, metric)}'''"
        text += (
            f'[[slab.cutout]]\nname = "item {k + 1}"\nkind = "{dice.choice(POSTS)}"\nat = [{at}]\n{form}\n'
        )
    return text


def _joints(dice: random.Random, size: float, metric: bool) -> str:
    text = ""
    for k in range(dice.randint(0, 3)):
        kind, treatment = dice.choice(
            (
                ("groove", "brush out"),
                ("saw cut", "fill"),
                ("isolation", "seal"),
                ("construction", "bridge"),
                ("crack", "leave"),
            )
        )
        y = _length(size * dice.uniform(-0.3, 0.3), metric)
        low, high = _length(-size, metric), _length(size, metric)
        line = f"{low}, {y} -> {high}, {y}" if dice.random() < 0.5 else f"{y}, {low} -> {y}, {high}"
        text += f'[[slab.joint]]\nname = "joint {k + 1}"\nkind = "{kind}"\ntreatment = "{treatment}"\n'
        text += f'lines = """\n{line}\n"""\n'
    return text
