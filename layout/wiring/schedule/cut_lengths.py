"""Cut list: which pieces from which reel, by first fit of the longest first, with what is left over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.cables import copper_kg
from layout.wiring.result import CutList, CutPiece, Reel
from layout.wiring.routing.run_lengths import STEP_MM

if TYPE_CHECKING:
    from collections.abc import Iterable

DEFAULT_REEL_MM = 100_000.0
"""Reel where the cable kind gives none: 100 m, common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCut:
    """One piece that is needed."""

    number: str
    cable: str
    size: str
    colour: str
    length_mm: float
    reel_mm: float
    copper_mm2: float


def cut_list(pieces: Iterable[ToCut]) -> CutList:
    """Lay pieces of one cable, size and colour on as few reels as first fit, longest first, finds.

    A piece longer than a reel gets a reel of its own length, to be bought to measure.
    """
    kinds: dict[tuple[str, str, str], list[ToCut]] = {}
    copper = 0.0
    for piece in pieces:
        kinds.setdefault((piece.cable, piece.size, piece.colour), []).append(piece)
        copper += copper_kg(piece.copper_mm2, piece.length_mm / 1000)
    reels: list[Reel] = []
    for (cable, size, colour), mine in sorted(kinds.items()):
        for whole, laid in _packed(mine):
            left = whole - sum(piece.length_mm for piece in laid)
            reels.append(Reel(cable=cable, size=size, colour=colour, reel_mm=whole, pieces=tuple(laid), left_mm=left))
    return CutList(reels=tuple(reels), copper_kg=copper)


def _packed(mine: list[ToCut]) -> list[tuple[float, list[CutPiece]]]:
    bins: list[tuple[float, list[CutPiece]]] = []
    left: list[float] = []
    for piece in sorted(mine, key=lambda p: (-p.length_mm, p.number)):
        length = -(-piece.length_mm // STEP_MM) * STEP_MM
        at = next((i for i, room in enumerate(left) if room >= length), None)
        if at is None:
            whole = max(piece.reel_mm, length)
            bins.append((whole, []))
            left.append(whole)
            at = len(bins) - 1
        bins[at][1].append(CutPiece(number=piece.number, length_mm=length))
        left[at] -= length
    return bins
