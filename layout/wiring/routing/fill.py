"""Fill of a wireway: share of the bore, jam, plugs past what is in, order of pulling."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.conduit import circle_mm2, fill_limit_percent, jams
from layout.wiring.result import CableIn, WirewayFill

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.project.model.wireways import Wireway

PACKED = 0.75
"""Share of its circle that a bundle of round cables fills; takes the bundle as wider than it is, which is safe."""
BEND_SHARE = 0.9
"""Share of the bore that a rigid plug may use together with what is in, where the conduit bends (common practice)."""


def inner_mm2(wireway: Wireway) -> float | None:
    """Return the inner area of a conduit or trunk; None where nothing fills up or no size is known."""
    if wireway.kind == "conduit":
        return None if wireway.bore is None else circle_mm2(wireway.bore)
    if wireway.kind == "trunk":
        return None if wireway.inner is None else wireway.inner[0] * wireway.inner[1]
    return None


def wireway_limit_percent(wireway: Wireway, cables: int) -> float:
    """Return the allowed fill: 53, 31 or 40 %, or the owner's lower limit."""
    practice = fill_limit_percent(max(cables, 1))
    return practice if wireway.fill_limit is None else min(practice, 100 * wireway.fill_limit)


def room_mm2(wireway: Wireway, cables: int) -> float | None:
    """Return the cable area that a wireway takes with so many cables in it; None where nothing fills up."""
    inner = inner_mm2(wireway)
    return None if inner is None else inner * wireway_limit_percent(wireway, cables) / 100


def fill(key: str, wireway: Wireway, length_mm: float | None, cables: Iterable[CableIn], loaded: int) -> WirewayFill:
    """Return what lies in a wireway, in pulling order: what is aboard and stays, then the largest plug first.

    Fill is None where nothing fills up, where the inner size is not known, or where a cable has no diameter.
    """
    ordered = tuple(
        sorted(cables, key=lambda c: (not c.lies_already, -(c.plug_mm or 0.0), -(c.od_mm or 0.0), c.number))
    )
    diameters = [cable.od_mm for cable in ordered if cable.od_mm is not None]
    area = sum(circle_mm2(od) for od in diameters) if len(diameters) == len(ordered) else None
    inner = inner_mm2(wireway)
    counted = inner is not None and area is not None and ordered
    return WirewayFill(
        wireway=key,
        kind=wireway.kind,
        length_mm=length_mm,
        cables=ordered,
        area_mm2=area,
        fill_percent=100 * area / inner if counted and inner and area is not None else None,
        limit_percent=wireway_limit_percent(wireway, len(ordered)) if inner is not None and ordered else None,
        jam=wireway.kind == "conduit" and wireway.bore is not None and jams(wireway.bore, tuple(diameters)),
        loaded=loaded,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TightPlug:
    """A plug that does not pass."""

    cable: CableIn
    needs_mm: float
    has_mm: float


def tight_plugs(wireway: Wireway, ordered: Sequence[CableIn]) -> list[TightPlug]:
    """Return the plugs that do not pass what was pulled before them, in pulling order.

    A plug passes beside the bundle that is already in; round a bend, with a tenth of the bore to spare.
    """
    bore = wireway.bore if wireway.kind == "conduit" else (min(wireway.inner) if wireway.inner else None)
    if bore is None:
        return []
    has = bore * (BEND_SHARE if (wireway.bends or 0.0) > 0 else 1.0)
    found: list[TightPlug] = []
    squares = 0.0
    for cable in ordered:
        if cable.plug_mm is not None and not cable.lies_already:
            needs = cable.plug_mm + math.sqrt(squares / PACKED)
            if needs > has + 1e-9:
                found.append(TightPlug(cable=cable, needs_mm=needs, has_mm=has))
        squares += (cable.od_mm or 0.0) ** 2
    return found
