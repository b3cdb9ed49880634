"""Stations of a built line: parts that plug straight into each other, with cable between the stations."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.network.bus_as_built import Backbone
    from layout.network.bus_parts import CablePiece


@dataclass(frozen=True, slots=True, kw_only=True)
class BusBlock:
    """One station of a built line.

    Attributes
    ----------
    spot
        Its name among the spots of a plan.
    parts
        Keys of its parts in order; terminators are left out.
    tees
        Nodes hung there in order, ``None`` for the power tap.
    next_mm, next_keys
        Length of the cable to the next station, and its pieces in order.
    """

    spot: str
    location: str | None
    parts: tuple[str, ...]
    tees: tuple[str | None, ...]
    next_mm: int = 0
    next_keys: tuple[str, ...] = ()


def blocks(built: Backbone) -> tuple[BusBlock, ...]:
    """Divide a sound built line into stations, in the order of its pieces.

    Joints between two cable pieces stay inside the course to the next station.
    """
    part_of = {part.key: part for part in built.parts}
    order = _in_line(built)
    found: list[BusBlock] = []
    group: list[str] = [order[0][0]] if order else [part.key for part in built.parts]
    cables: list[CablePiece] = []
    for _, key, piece in order:
        if piece.cable is not None:
            if group:
                found.append(_block(built, group, len(found)))
                group, cables = [], []
            cables.append(piece)
        if part_of[key].kind != "joint":
            if not group and found:
                length = round(sum(cable.length_mm for cable in cables))
                found[-1] = replace(found[-1], next_mm=length, next_keys=tuple(cable.key for cable in cables))
            group.append(key)
    if group:
        found.append(_block(built, group, len(found)))
    return tuple(found)


def _in_line(built: Backbone) -> list[tuple[str, str, CablePiece]]:
    """Return the pieces from one end to the other, each with the parts it goes from and to."""
    around: dict[str, list[int]] = {part.key: [] for part in built.parts}
    for index, piece in enumerate(built.pieces):
        around[piece.first].append(index)
        around[piece.second].append(index)
    here = next((part.key for part in built.parts if len(around[part.key]) == 1), None)
    found: list[tuple[str, str, CablePiece]] = []
    used: set[int] = set()
    while here is not None:
        onward = [index for index in around[here] if index not in used]
        if not onward:
            break
        index = onward[0]
        used.add(index)
        piece = built.pieces[index]
        other = piece.second if piece.first == here else piece.first
        found.append((here, other, piece))
        here = other
    return found


def _block(built: Backbone, group: list[str], number: int) -> BusBlock:
    part_of = {part.key: part for part in built.parts}
    tees: list[str | None] = []
    for key in group:
        if part_of[key].kind == "tap":
            tees.append(None)
        tees.extend(node for node, part in built.hung if part == key)
    return BusBlock(
        spot=f"built {number + 1}",
        location=next((part_of[key].at for key in group if part_of[key].at is not None), None),
        parts=tuple(key for key in group if part_of[key].kind != "terminator"),
        tees=tuple(tees),
    )
