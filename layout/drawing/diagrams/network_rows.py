"""A plugged bus as rows of parts in their true order: the line first, then what branches off it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.network.bus_parts import Assembly, CablePiece, PluggedPart


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Parts in a row with the piece before each (None before the first).

    Attributes
    ----------
    start
        Part of another row that it branches off; empty for the line itself.
    closes
        Part that its last piece plugs into as well, where it closes a loop.
    """

    parts: tuple[PluggedPart, ...]
    pieces: tuple[CablePiece | None, ...]
    start: str = ""
    closes: tuple[CablePiece, ...] = ()


def stretches(assembly: Assembly) -> tuple[Stretch, ...]:
    """Return the rows of a bus, every part in exactly one of them and every piece drawn once.

    The first row is the longest line between two ends; branches follow in the order of the parts.
    """
    left = [part.key for part in assembly.parts]
    used: set[str] = set()
    found: list[Stretch] = []
    while left:
        start, lead = _branching(assembly, left, used) if found else ("", None)
        path = _longest(assembly, left, lead or _end(assembly, left))
        pieces: list[CablePiece | None] = [_between(assembly, start, path[0], used) if start else None]
        used.update(piece.key for piece in pieces if piece is not None)
        for one, other in pairwise(path):
            piece = _between(assembly, one, other, used)
            pieces.append(piece)
            if piece is not None:
                used.add(piece.key)
        left = [key for key in left if key not in path]
        found.append(Stretch(parts=tuple(assembly.part_by_key[key] for key in path), pieces=tuple(pieces), start=start))
    rest = tuple(piece for piece in assembly.pieces if piece.key not in used)
    if rest and found:
        found[-1] = Stretch(parts=found[-1].parts, pieces=found[-1].pieces, start=found[-1].start, closes=rest)
    return tuple(found)


def _around(assembly: Assembly, key: str) -> list[tuple[str, CablePiece]]:
    return [
        (piece.second if piece.first == key else piece.first, piece)
        for piece in assembly.pieces
        if key in (piece.first, piece.second)
    ]


def _between(assembly: Assembly, one: str, other: str, used: set[str]) -> CablePiece | None:
    return next((piece for far, piece in _around(assembly, one) if far == other and piece.key not in used), None)


def _branching(assembly: Assembly, left: list[str], used: set[str]) -> tuple[str, str | None]:
    """Return a drawn part and the undrawn one that branches off it; nothing where pieces stand alone."""
    for key in left:
        for far, piece in _around(assembly, key):
            if far not in left and piece.key not in used:
                return far, key
    return "", None


def _end(assembly: Assembly, left: list[str]) -> str:
    """Return an end among the undrawn parts: the first with one neighbour, else the first."""
    return next((key for key in left if len(_around(assembly, key)) <= 1), left[0])


def _longest(assembly: Assembly, left: list[str], start: str) -> list[str]:
    """Return the longest way (cable, then number of parts) from a part through undrawn ones, each once."""
    best: list[str] = []
    reach = (-1.0, 0)
    waiting: list[tuple[list[str], float]] = [([start], 0.0)]
    while waiting:
        path, length = waiting.pop()
        if (length, len(path)) > reach:
            best, reach = path, (length, len(path))
        for far, piece in reversed(_around(assembly, path[-1])):
            if far in left and far not in path:
                waiting.append(([*path, far], length + piece.length_mm))
    return best
