"""Closed outlines in a net of parts: what hangs together along shared edges, walked round from outside.

A *dangle* is a part with a free end, a *bridge* one with the same face on both sides; neither bounds
anything. Each half of a part is walked in one direction with its face on the left.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..geometry import arcs
from ..geometry.arcs import Floats, Ints
from ..values import dataclass
from .clusters import components
from .noding import Net


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """A closed outline: parts of a net in order, each with its direction (True: as the net has it)."""

    parts: list[int]
    forward: list[bool]


@dataclass(frozen=True, slots=True, eq=False)
class Outlines:
    """What a net encloses.

    Attributes:
        walks: the outer boundary of each connected group of faces, counter-clockwise.
        faces: how many faces each of them holds.
        loose: (m,) parts that bound nothing: dangles and bridges.
        inner: (m,) parts inside an outline that split it into faces.
    """

    walks: tuple[Walk, ...]
    faces: tuple[int, ...]
    loose: NDArray[np.bool_]
    inner: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Faces:
    """The faces of a net without its dangles and bridges.

    Attributes:
        used: (m,) parts of the net that bound faces.
        part: (2n,) the part that each half is of; halves 2i and 2i + 1 are the two of one part.
        forward: (2n,) whether a half runs as the net has its part.
        number: (2n,) the face on the left of each half.
        follower: the half that follows each round its face.
        area: (f,) signed area of each face's walk; below 0 for walks seen from outside.
    """

    used: NDArray[np.bool_]
    part: Ints
    forward: NDArray[np.bool_]
    number: Ints
    follower: list[int]
    area: Floats


def faces_of(net: Net) -> Faces:
    """Every face that the net bounds."""
    used = _without_dangles(net)
    number, follower = _cycles(net, used)
    bridges = used.copy()
    bridges[used] = number[0::2] == number[1::2]
    if bridges.any():
        used = _without_dangles(net, used & ~bridges)
        number, follower = _cycles(net, used)
    index = np.flatnonzero(used)
    part, forward = np.repeat(index, 2), np.tile([True, False], len(index))
    area = _areas(net, part, forward, number) if len(index) else np.zeros(0)
    return Faces(used, part, forward, number, follower, area)


def outlines(net: Net) -> Outlines:
    """Outer boundaries of everything that the net encloses, counter-clockwise."""
    faces = faces_of(net)
    if not len(faces.part):
        return Outlines((), (), ~faces.used, np.zeros_like(faces.used))
    outer = faces.area < 0.0
    inner = faces.used.copy()
    inner[faces.part[0::2]] = ~(outer[faces.number[0::2]] | outer[faces.number[1::2]])
    walks, counts = _outer_walks(net, faces, outer)
    return Outlines(walks, counts, ~faces.used, inner)


def _without_dangles(net: Net, used: NDArray[np.bool_] | None = None) -> NDArray[np.bool_]:
    """Parts that are left when those with a free end are taken away, again and again."""
    keep = np.ones(len(net.a), np.bool_) if used is None else used.copy()
    degree = np.bincount(np.concatenate((net.a[keep], net.b[keep])), minlength=len(net.spots))
    free = np.flatnonzero(degree == 1).tolist()
    if not free:
        return keep
    touching: dict[int, list[int]] = {}
    for k in np.flatnonzero(keep).tolist():
        touching.setdefault(int(net.a[k]), []).append(k)
        touching.setdefault(int(net.b[k]), []).append(k)
    while free:
        spot = free.pop()
        for k in touching[spot]:
            if not keep[k]:
                continue
            keep[k] = False
            for end in (int(net.a[k]), int(net.b[k])):
                degree[end] -= 1
                if degree[end] == 1:
                    free.append(end)
    return keep


def _cycles(net: Net, used: NDArray[np.bool_]) -> tuple[Ints, list[int]]:
    """For every half of the used parts (forward, backward, forward, …): the number of the face it bounds, and
    the half that follows round that face."""
    index = np.flatnonzero(used)
    count = 2 * len(index)
    if not count:
        return np.zeros(0, np.intp), []
    a, b, bulges = net.a[index], net.b[index], net.bulges[index]
    origin = np.empty(count, np.intp)
    origin[0::2], origin[1::2] = a, b
    angle = _leaving(net.spots, a, b, bulges)
    order = np.lexsort((angle, origin))
    place = np.empty(count, np.intp)
    place[order] = np.arange(count)
    # The half before this one, counter-clockwise about its own start; the first takes the last.
    starts = np.searchsorted(origin[order], origin[order], side="left")
    ends = np.searchsorted(origin[order], origin[order], side="right") - 1
    at = np.arange(count)
    before = order[np.where(at == starts, ends, at - 1)]
    twin = np.arange(count) ^ 1
    follower = before[place[twin]].tolist()
    number = [-1] * count
    found = 0
    for start in range(count):
        if number[start] >= 0:
            continue
        k = start
        while number[k] < 0:
            number[k] = found
            k = follower[k]
        found += 1
    return np.array(number, dtype=np.intp), follower


def _leaving(spots: Floats, a: Ints, b: Ints, bulges: Floats) -> Floats:
    """Direction in which each half leaves its start, seen a little way along it.

    Looking at the tangent would not tell a line from an arc that leaves along it; so all halves at a
    place are looked at the same distance away, half the shortest of them.
    """
    starts, ends = spots[a], spots[b]
    length = arcs.lengths_m(np.hypot(*(ends - starts).T), bulges)
    reach = np.full(len(spots), np.inf)
    np.minimum.at(reach, a, length)
    np.minimum.at(reach, b, length)
    length = np.maximum(length, 1e-300)
    out = arcs.points_at(starts, ends, bulges, 0.5 * reach[a] / length) - starts
    back = arcs.points_at(starts, ends, bulges, 1.0 - 0.5 * reach[b] / length) - ends
    angle = np.empty(2 * len(a))
    angle[0::2] = np.arctan2(out[:, 1], out[:, 0])
    angle[1::2] = np.arctan2(back[:, 1], back[:, 0])
    return angle


def _areas(net: Net, part: Ints, forward: NDArray[np.bool_], cycle: Ints) -> Floats:
    """Signed area of each face's walk, arcs exact."""
    p, q = net.spots[net.a[part]], net.spots[net.b[part]]
    p, q = np.where(forward[:, None], p, q), np.where(forward[:, None], q, p)
    bulges = np.where(forward, net.bulges[part], -net.bulges[part])
    first = np.zeros(int(cycle.max()) + 1, np.intp)
    first[cycle[::-1]] = np.arange(len(cycle))[::-1]
    about = p[first][cycle]
    p, q = p - about, q - about
    share = 0.5 * (p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0])
    share += arcs.segment_areas_m2(np.hypot(*(q - p).T), bulges)
    return np.asarray(np.bincount(cycle, weights=share), dtype=np.float64)


def _outer_walks(
    net: Net, found: Faces, outer: NDArray[np.bool_]
) -> tuple[tuple[Walk, ...], tuple[int, ...]]:
    used, part, forward, cycle, follower = (
        found.used,
        found.part,
        found.forward,
        found.number,
        found.follower,
    )
    group = components(len(net.spots), net.a[used], net.b[used])
    faces_of: dict[int, int] = {}
    seen: set[int] = set()
    start = np.where(forward, net.a[part], net.b[part])
    for k, c in enumerate(cycle.tolist()):
        if c not in seen:
            seen.add(c)
            if not outer[c]:
                g = int(group[start[k]])
                faces_of[g] = faces_of.get(g, 0) + 1
    parts, ahead = part.tolist(), forward.tolist()
    walks: list[Walk] = []
    faces: list[int] = []
    done: set[int] = set()
    for k in np.flatnonzero(outer[cycle]).tolist():
        if k in done:
            continue
        way: list[tuple[int, int]] = []
        half = k
        while half not in done:
            done.add(half)
            way.append((half, int(start[half])))
            half = follower[half]
        loops = _simple_loops(way)
        for loop in loops:
            walks.append(_turned_round(loop, parts, ahead))
            faces.append(faces_of.get(int(group[start[k]]), 1) if len(loops) == 1 else 1)
    return tuple(walks), tuple(faces)


def _simple_loops(way: list[tuple[int, int]]) -> list[list[int]]:
    """A closed walk taken apart where it passes through a place twice."""
    loops: list[list[int]] = []
    path: list[tuple[int, int]] = []
    at: dict[int, int] = {}
    for half, spot in way:
        if spot in at:
            cut = at[spot]
            loops.append([h for h, _ in path[cut:]])
            for _, passed in path[cut:]:
                at.pop(passed, None)
            del path[cut:]
        at[spot] = len(path)
        path.append((half, spot))
    if path:
        loops.append([h for h, _ in path])
    return [loop for loop in loops if len(loop) > 1]


def _turned_round(loop: list[int], part: list[int], forward: list[bool]) -> Walk:
    """An outer walk runs clockwise; an outline counter-clockwise."""
    return Walk([part[half] for half in reversed(loop)], [not forward[half] for half in reversed(loop)])
