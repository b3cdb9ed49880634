"""Law 10: each terminal takes the conductors that land on it, by number, by size, and by their lugs.

Source: four lugs on a stud at most (ABYC E-11 terminal clause, from memory); lugs as in ``standards.terminals``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards.terminals import MOST_ON_A_STUD, ferrule, push_on, ring
from layout.wiring.laws.breach import Breach

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.wiring.system.graph import Conductor, Node, System

MOST_ON_A_TAB = 2
"""Push-on connectors on one tab, with a piggyback one (common practice)."""
_NAMED_MOST = 4
"""So many conductors are named in one finding; the others are counted."""


def terminals(system: System) -> Iterator[Breach]:
    """Yield terminals with too many conductors, too thick ones, or ones for which no end fitting is made."""
    ways: dict[str, int] = {}
    for node in system.nodes:
        if node.kind == "way" and node.pole in ("+", "L"):
            ways[node.owner] = ways.get(node.owner, 0) + 1
    signals: dict[str, list[Conductor]] = {}
    for core in system.signals:
        for end in (core.start, core.end):
            signals.setdefault(end, []).append(core)
    for node in system.nodes:
        landed = [*system.conductors_at.get(node.key, ()), *signals.get(node.key, ())]
        if landed and node.kind not in ("inner", "splice"):
            yield from _number(node, landed, ways.get(node.owner, 0))
            yield from _thickness(node, landed)
            yield from _fittings(node, landed)


def _number(node: Node, landed: Sequence[Conductor], ways: int) -> Iterator[Breach]:
    count, is_bar = len(landed), node.kind == "bar"
    each = node.lugs_most or _most_by_kind(node)
    is_return = node.kind == "panel" and node.pole not in ("+", "L")
    text = f"{node.name}: {count} conductors end on it ({_named(landed)})"
    if is_return and (node.stud is None or node.positions is not None):
        others = 2 if node.pole == "PE" else 1  # the feed's own, and the bond to earth
        room = ways + others if node.positions is None else node.positions
        if count > room and node.positions is None:
            yield _breach(
                node,
                "fuse 107",
                f"{text}, more than the {ways} ways and the feed it is taken to have room for",
                "say how many positions it has, or lead the others to another return bar",
                (count, room),
            )
        elif count > room:
            remedy = "take a longer bar, or lead some to another one"
            yield _breach(node, "fuse 105", f"{text}, it has {room} positions", remedy, (count, room))
        return
    if is_bar and not node.studs:
        if count > MOST_ON_A_STUD:
            yield _breach(node, "fuse 107", f"{text}, and its studs are not known", "give its studs:", (count, None))
        return
    room = each * max(len(node.studs), 1)
    if count <= room:
        return
    if is_bar:
        studs = "one stud" if len(node.studs) == 1 else f"{len(node.studs)} studs"
        text += f", for {studs} with at most {each} lugs on each"
        yield _breach(node, "wire 40", text, "take a longer bar, or part the conductors over two", (count, room))
    else:
        text += f", at most {each} lugs go on one {'stud' if node.stud else 'terminal'}"
        yield _breach(
            node, "fuse 105", text, "bring them together on a bus bar, and lead one conductor here", (count, room)
        )


def _most_by_kind(node: Node) -> int:
    """Return how many conductors end on one terminal of which nothing is said: one in a plug of a data or antenna."""
    if node.takes == "plug" and node.pole in ("data", "antenna"):
        return 1
    return MOST_ON_A_TAB if node.takes == "blade" else MOST_ON_A_STUD


def _thickness(node: Node, landed: Sequence[Conductor]) -> Iterator[Breach]:
    if node.largest_mm2 is None:
        return
    thick = [c for c in landed if c.size_mm2 is not None and c.size_mm2 > node.largest_mm2 * 1.0001]
    if thick:
        most = max(c.size_mm2 or 0.0 for c in thick)
        yield Breach(
            rule="fuse 106",
            entry=f"{node.section}.{node.owner}",
            message=f"{node.name}: it takes up to {node.largest_mm2:g} mm², {_named(thick)} has {most:g} mm²",
            remedy="end it on a stud next to the device and go on thinner behind its own fuse",
            way=(thick[0].key, node.key),
            subjects=tuple(dict.fromkeys(c.entry for c in thick)),
            measured=most,
            limit=node.largest_mm2,
            unit="mm²",
        )


def _fittings(node: Node, landed: Sequence[Conductor]) -> Iterator[Breach]:
    """Name conductors for which no end fitting is made at this terminal; each end of a conductor by itself."""
    bare = [c for c in landed if c.size_mm2 is not None and not _made(node, c.size_mm2)]
    if not bare:
        return
    threads = " or ".join(dict.fromkeys(node.studs)) or node.stud
    what = f"its stud {threads}" if threads and node.takes not in ("ferrule", "blade") else f"a {node.takes} there"
    sizes = ", ".join(f"{size:g} mm²" for size in sorted({c.size_mm2 or 0.0 for c in bare}))
    yield Breach(
        rule="wire 41",
        entry=f"{node.section}.{node.owner}",
        message=f"{node.name}: no end fitting is made for {sizes} on {what} ({_named(bare)})",
        remedy="end it on a stud next to the device and go on thinner behind its own fuse",
        way=(bare[0].key, node.key),
        subjects=tuple(dict.fromkeys(c.entry for c in bare)),
    )


def _made(node: Node, area_mm2: float) -> bool:
    """Tell whether an end fitting for an area and a terminal is made; where nothing is said of the terminal, it is."""
    if node.takes in ("plug", "bare", "solder"):
        return True
    if node.takes == "ferrule":
        return ferrule(area_mm2) is not None
    if node.takes == "blade":
        return push_on(area_mm2) is not None
    threads = node.studs or ((node.stud,) if node.stud else ())
    return not threads or any(_ring(area_mm2, thread) for thread in threads)


def _ring(area_mm2: float, thread: str) -> bool:
    try:
        return ring(area_mm2, thread) is not None
    except KeyError:
        return False


def _breach(node: Node, rule: str, message: str, remedy: str, counted: tuple[int, int | None]) -> Breach:
    return Breach(
        rule=rule,
        entry=f"{node.section}.{node.owner}",
        message=message,
        remedy=remedy,
        way=(node.key,),
        measured=counted[0],
        limit=counted[1],
    )


def _named(conductors: Sequence[Conductor]) -> str:
    names = list(dict.fromkeys(c.name.removesuffix(", up to its device") for c in conductors))
    more = len(names) - _NAMED_MOST
    return ", ".join(names[:_NAMED_MOST]) + (f" and {more} more" if more > 0 else "")
