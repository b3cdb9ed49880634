"""Made-up cables: which bought lengths make up a piece, and the list of what to buy."""

from __future__ import annotations

import math
from collections import Counter
from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.network.bus_parts import Assembly

_STEP_MM = 10
"""Lengths are compared in whole centimetres, rounded to the safe side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """One line of the parts list; ``length_mm`` is of one cable, None for what has no length."""

    what: str
    count: int
    length_mm: float | None = None
    note: str = ""


@cache
def bought_lengths(needed_mm: int, stock_mm: tuple[int, ...], joint_mm: int) -> tuple[int, ...]:
    """Return the bought lengths that together cover a length, longest first.

    One piece wherever one is long enough, so that no plugs lie joined inside a wireway; else the pieces that cost
    least, where cost is their length and ``joint_mm`` for each joint, and of equal ones the fewest. Without stock the
    cable is cut to length from a reel, in one piece, to the next whole centimetre.

    Raises
    ------
    ValueError
        If a stock length is not above 0.
    """
    if any(length <= 0 for length in stock_mm):
        raise ValueError(f"a stock length must be above 0, got {min(stock_mm)}")
    needed = math.ceil(needed_mm / _STEP_MM)
    if not stock_mm:
        return (max(needed, 1) * _STEP_MM,)
    lengths = sorted({(length // _STEP_MM, length) for length in stock_mm if length >= _STEP_MM}, reverse=True)
    if not lengths:
        raise ValueError(f"stock lengths must be at least {_STEP_MM} mm, got {max(stock_mm)}")
    single = [length for _, length in lengths if length >= needed_mm]
    if single:
        return (min(single),)
    best: list[tuple[int, int, tuple[int, ...]]] = [(0, 0, ())]
    for length in range(1, max(needed, 1) + 1):
        options = [
            (cost + mm + joint_mm, count + 1, (*pieces, mm))
            for steps, mm in lengths
            for cost, count, pieces in (best[max(length - steps, 0)],)
        ]
        best.append(min(options))
    return tuple(sorted(best[-1][2], reverse=True))


def parts_list(assembly: Assembly, stock_mm: tuple[int, ...], joint_mm: int) -> tuple[StockLine, ...]:
    """Return what to buy for a bus: power tap, tees, terminators, cables; what is already there is left out."""
    new = [part for part in assembly.parts if not part.aboard]
    spare = sum(1 for part in new if part.kind == "tee" and not assembly.drops_at(part.key))
    counts = Counter((part.kind, part.ports) for part in new)
    plug = f"{assembly.connector} connectors" + (f", family {assembly.family}" if assembly.family else "")
    lines = []
    if taps := sum(number for (kind, _), number in counts.items() if kind == "tap"):
        lines.append(StockLine(what="power tap", count=taps, note=plug))
    for ports in sorted(ports for kind, ports in counts if kind == "tee"):
        what = "tee" if ports == 1 else f"tee with {ports} ports"
        lines.append(StockLine(what=what, count=counts["tee", ports], note=f"{plug}; {spare} spare" if spare else plug))
    if ends := sum(number for (kind, _), number in counts.items() if kind == "terminator"):
        lines.append(StockLine(what="terminator 120 ohm", count=ends, note=plug))
    backbone = Counter((p.cable or "", p.length_mm) for p in assembly.pieces if p.cable and not p.aboard)
    drops: Counter[tuple[str, float]] = Counter()
    for drop in assembly.drops:
        if drop.length_mm is not None and not drop.given:
            drops.update((drop.cable, float(mm)) for mm in bought_lengths(round(drop.length_mm), stock_mm, joint_mm))
    given = Counter((d.cable, d.length_mm) for d in assembly.drops if d.given and d.length_mm is not None)
    for what, found, note in (
        ("backbone cable", backbone, ""), ("drop cable", drops, ""), ("drop cable", given, "length as declared"),
    ):  # fmt: skip
        for (kind, length), count in sorted(found.items(), key=lambda item: (item[0][0], item[0][1] or 0.0)):
            lines.append(StockLine(what=f"{kind} {what}", count=count, length_mm=length, note=note))
    return tuple(lines)
