"""Layered layout of boxes and orthogonal lines between them, left to right; knows nothing of what they mean.

Boxes are put into columns by the longest way from a source, ordered by the mean place of what they are joined to, and
set as near as can be to a straight line. Each line gets an upright track of its own in the channel between columns
(after Sugiyama's method and left-edge channel routing, both textbook).

Frame: x right, y down, mm; the caller turns y round.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.geometry.path import Point

TRACK_MM = 4.0
"""Distance of upright tracks in a channel."""
_SWEEPS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class LayeredNode:
    """A box: its size, where lines join it (distance from its top) on the left and on the right.

    ``column`` -1 puts it into the last column.
    """

    id: str
    width_mm: float
    height_mm: float
    ins: tuple[float, ...] = ()
    outs: tuple[float, ...] = ()
    column: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A line from an output of one box to an input of another; lines of one ``net`` may share a track."""

    source: str
    target: str
    out: int = 0
    into: int = 0
    net: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where everything came to stand: upper left corners of the boxes, and the corners of each line in order."""

    at: Mapping[str, Point]
    lines: tuple[tuple[Point, ...], ...]
    width_mm: float
    height_mm: float


@dataclass(slots=True)
class _Cell:
    """A box or, where a line passes a column, a place kept for it."""

    node: LayeredNode
    column: int
    left: list[tuple[str, float, float]] = field(default_factory=list)
    """Of each line that comes in: the cell before, its port, and the port here."""
    right: list[tuple[str, float, float]] = field(default_factory=list)
    y: float = 0.0


@dataclass(frozen=True, slots=True)
class _Hop:
    """A line's way across one channel."""

    edge: int
    start: str
    out_mm: float
    end: str
    in_mm: float


def lay_out(nodes: Sequence[LayeredNode], edges: Sequence[Edge], *, gap_mm: float = 8.0) -> Layout:
    """Place boxes and route lines.

    Parameters
    ----------
    nodes, edges
        In the order in which they should come where nothing else decides.
    gap_mm
        Least free height between boxes of one column.

    Raises
    ------
    ValueError
        If an edge names no box, or runs backwards: leave out what :func:`backward` returns.
    """
    known = {node.id: node for node in nodes}
    for edge in edges:
        if edge.source not in known or edge.target not in known:
            raise ValueError(f"an edge joins {edge.source!r} and {edge.target!r}; one of them is no box")
    if backward(nodes, edges):
        raise ValueError("an edge runs backwards; leave out what backward() returns")
    column = _columns(nodes, edges)
    cells, hops = _cells(nodes, edges, column)
    grid: list[list[str]] = [[] for _ in range(max(column.values(), default=0) + 1)]
    for name, cell in cells.items():
        grid[cell.column].append(name)
    _order(grid, cells)
    _heights(grid, cells, gap_mm)
    return _drawn(grid, cells, hops, edges)


def backward(nodes: Sequence[LayeredNode], edges: Sequence[Edge]) -> tuple[int, ...]:
    """Return the numbers of the edges that can't run from left to right: they close a loop or leave the last column."""
    after: dict[str, list[str]] = {node.id: [] for node in nodes}
    ends = {node.id for node in nodes if node.column == -1}
    found = []
    for number, edge in enumerate(edges):
        if edge.source in ends or _reaches(after, edge.target, edge.source):
            found.append(number)
        else:
            after[edge.source].append(edge.target)
    return tuple(found)


def _columns(nodes: Sequence[LayeredNode], edges: Sequence[Edge]) -> dict[str, int]:
    """Return each box's column: the longest way from a source; a source stands beside the first thing it feeds."""
    after: dict[str, list[str]] = {node.id: [] for node in nodes}
    for edge in edges:
        after[edge.source].append(edge.target)
    column = {node.id: 0 for node in nodes}
    for _ in nodes:
        for source, targets in after.items():
            for target in targets:
                column[target] = max(column[target], column[source] + 1)
    last = max(column.values(), default=0)
    for node in nodes:
        if node.column == -1:
            column[node.id] = last
    for node in reversed(nodes):
        fed = any(node.id in targets for targets in after.values())
        if not fed and after[node.id] and node.column is None:
            column[node.id] = max(0, min(column[target] for target in after[node.id]) - 1)
    return column


def _reaches(after: Mapping[str, Sequence[str]], start: str, goal: str) -> bool:
    seen, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        if here == goal:
            return True
        for there in after[here]:
            if there not in seen:
                seen.add(there)
                waiting.append(there)
    return False


def _cells(
    nodes: Sequence[LayeredNode], edges: Sequence[Edge], column: Mapping[str, int]
) -> tuple[dict[str, _Cell], list[_Hop]]:
    cells = {node.id: _Cell(node, column[node.id]) for node in nodes}
    hops: list[_Hop] = []
    for number, edge in enumerate(edges):
        here, port = edge.source, cells[edge.source].node.outs[edge.out]
        first, last = column[edge.source], column[edge.target]
        for step in range(first + 1, last):
            name = f"{number}|{step}"
            cells[name] = _Cell(LayeredNode(id=name, width_mm=0.0, height_mm=0.0, ins=(0.0,), outs=(0.0,)), step)
            _join(cells, hops, _Hop(number, here, port, name, 0.0))
            here, port = name, 0.0
        _join(cells, hops, _Hop(number, here, port, edge.target, cells[edge.target].node.ins[edge.into]))
    return cells, hops


def _join(cells: dict[str, _Cell], hops: list[_Hop], hop: _Hop) -> None:
    hops.append(hop)
    cells[hop.start].right.append((hop.end, hop.in_mm, hop.out_mm))
    cells[hop.end].left.append((hop.start, hop.out_mm, hop.in_mm))


def _order(grid: list[list[str]], cells: Mapping[str, _Cell]) -> None:
    """Order each column by the mean rank of its neighbours, from both sides in turn; the fewest crossings win."""
    best = [list(column) for column in grid]
    fewest = _crossings(best, cells)
    for sweep in range(_SWEEPS):
        forward = sweep % 2 == 0
        for index in range(len(grid)) if forward else range(len(grid) - 1, -1, -1):
            beside = index - 1 if forward else index + 1
            if 0 <= beside < len(grid):
                rank = {name: float(place) for place, name in enumerate(grid[beside])}
                grid[index] = _by_mean(grid[index], rank, cells, forward=forward)
        found = _crossings(grid, cells)
        if found < fewest:
            best, fewest = [list(column) for column in grid], found
    grid[:] = best


def _by_mean(
    column: Sequence[str], rank: Mapping[str, float], cells: Mapping[str, _Cell], *, forward: bool
) -> list[str]:
    found = []
    for own, name in enumerate(column):
        joined = [rank[other] + port * 1e-4 for other, port, _ in (cells[name].left if forward else cells[name].right)]
        found.append((sum(joined) / len(joined) if joined else float(own), own, name))
    return [name for _, _, name in sorted(found)]


def _crossings(grid: Sequence[Sequence[str]], cells: Mapping[str, _Cell]) -> int:
    total = 0
    for left, right in pairwise(grid):
        place = {name: index for index, name in enumerate(right)}
        ends = [
            (index, out, place[name], into) for index, here in enumerate(left) for name, into, out in cells[here].right
        ]
        for one, first in enumerate(ends):
            for second in ends[one + 1 :]:
                total += ((first[:2] < second[:2]) and (first[2:] > second[2:])) or (
                    (first[:2] > second[:2]) and (first[2:] < second[2:])
                )
    return total


def _heights(grid: Sequence[Sequence[str]], cells: Mapping[str, _Cell], gap_mm: float) -> None:
    """Pack the fullest column tight; set the other boxes as near as can be to where their lines would be straight."""
    for column in grid:
        y = 0.0
        for name in column:
            cells[name].y = y
            y += cells[name].node.height_mm + gap_mm
    fullest = max(grid, key=lambda column: sum(cells[name].node.height_mm + gap_mm for name in column))
    for sweep in range(_SWEEPS):
        forward = sweep % 2 == 0
        for column in grid if forward else reversed(grid):
            if column is fullest:
                continue
            wished = [_wish(cells[name], cells, forward=forward) for name in column]
            for name, y in zip(column, _packed(column, wished, cells, gap_mm), strict=True):
                cells[name].y = y
    top = min((cells[name].y for column in grid for name in column), default=0.0)
    for cell in cells.values():
        cell.y -= top


def _wish(cell: _Cell, cells: Mapping[str, _Cell], *, forward: bool) -> float:
    joined = (cell.left if forward else cell.right) or cell.left or cell.right
    if not joined:
        return cell.y
    straight = sorted(cells[name].y + there - here for name, there, here in joined)
    return straight[(len(straight) - 1) // 2]


def _packed(column: Sequence[str], wished: Sequence[float], cells: Mapping[str, _Cell], gap_mm: float) -> list[float]:
    """Return tops with least squared moves that keep order and gaps (pools of adjacent violators)."""
    offsets, total = [], 0.0
    for name in column:
        offsets.append(total)
        total += cells[name].node.height_mm + gap_mm
    pools: list[tuple[float, int]] = []
    for offset, wish in zip(offsets, wished, strict=True):
        mean, members = wish - offset, 1
        while pools and pools[-1][0] > mean:
            other, others = pools.pop()
            mean = (mean * members + other * others) / (members + others)
            members += others
        pools.append((mean, members))
    starts = [mean for mean, members in pools for _ in range(members)]
    return [start + offset for start, offset in zip(starts, offsets, strict=True)]


def _drawn(
    grid: Sequence[Sequence[str]], cells: Mapping[str, _Cell], hops: Sequence[_Hop], edges: Sequence[Edge]
) -> Layout:
    left = 0.0
    x: dict[str, float] = {}
    pieces: list[list[Point]] = [[] for _ in edges]
    for index, column in enumerate(grid):
        wide = max((cells[name].node.width_mm for name in column), default=0.0)
        for name in column:
            x[name] = left
        here = [hop for hop in hops if cells[hop.start].column == index]
        track = _tracks(here, cells, edges)
        channel = TRACK_MM * (max(track.values(), default=-1) + 2) if here else 0.0
        for hop in here:
            y0, y1 = cells[hop.start].y + hop.out_mm, cells[hop.end].y + hop.in_mm
            start_x = left + cells[hop.start].node.width_mm
            turn_x = left + wide + TRACK_MM * (track.get(hop.edge, 0) + 1)
            pieces[hop.edge].extend([(start_x, y0), (turn_x, y0), (turn_x, y1), (left + wide + channel, y1)])
        left += wide + channel
    tall = max((cell.y + cell.node.height_mm for cell in cells.values()), default=0.0)
    at = {name: (x[name], cell.y) for name, cell in cells.items() if cell.node.width_mm > 0}
    return Layout(at=at, lines=tuple(tuple(_clean(way)) for way in pieces), width_mm=left, height_mm=tall)


def _tracks(hops: Sequence[_Hop], cells: Mapping[str, _Cell], edges: Sequence[Edge]) -> dict[int, int]:
    """Return the track of each line that is not straight.

    Lines that go up take tracks from the left in falling order of where they start, lines that go down the other way,
    so that neighbours don't cross; pieces of different nets never lie on one another.
    """
    spans: list[tuple[int, float, float]] = []
    for hop in hops:
        y0, y1 = cells[hop.start].y + hop.out_mm, cells[hop.end].y + hop.in_mm
        if abs(y0 - y1) > 1e-6:
            spans.append((hop.edge, y0, y1))
    down = sorted((s for s in spans if s[2] > s[1]), key=lambda s: (-s[1], s[0]))
    up = sorted((s for s in spans if s[2] < s[1]), key=lambda s: (s[1], s[0]))
    taken: list[list[tuple[str, float, float]]] = []
    found: dict[int, int] = {}
    for group in (down, up):
        before: list[tuple[int, float, float]] = []
        for edge, y0, y1 in group:
            net = edges[edge].net or f"#{edge}"
            low, high = min(y0, y1), max(y0, y1)
            place = 1 + max((t for t, bottom, top in before if low < top and bottom < high), default=-1)
            while place < len(taken) and any(
                other != net and low < top + 1.0 and bottom - 1.0 < high for other, bottom, top in taken[place]
            ):
                place += 1
            while place >= len(taken):
                taken.append([])
            taken[place].append((net, low, high))
            before.append((place, low, high))
            found[edge] = place
    return _apart(spans, found, edges)


def _apart(spans: Sequence[tuple[int, float, float]], track: dict[int, int], edges: Sequence[Edge]) -> dict[int, int]:
    """Move a line to a track further right where its end would lie on another line's start."""
    for _ in spans:
        moved = False
        for first, _, end in spans:
            for second, start, _ in spans:
                same = first == second or (edges[first].net and edges[first].net == edges[second].net)
                if not same and abs(end - start) < 1.0 and track[first] <= track[second]:
                    track[first] = max(track.values()) + 1
                    moved = True
        if not moved:
            break
    return track


def _clean(way: Sequence[Point]) -> list[Point]:
    """Return the corners of a line without repeats and without points on a straight piece."""
    kept: list[Point] = []
    for point in way:
        if kept and abs(kept[-1][0] - point[0]) < 1e-6 and abs(kept[-1][1] - point[1]) < 1e-6:
            continue
        while len(kept) > 1 and _straight(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    return kept


def _straight(a: Point, b: Point, c: Point) -> bool:
    return (abs(a[0] - b[0]) < 1e-6 and abs(b[0] - c[0]) < 1e-6) or (
        abs(a[1] - b[1]) < 1e-6 and abs(b[1] - c[1]) < 1e-6
    )
