"""Entries that are joined must say the same: ways, switches and their states, joins, parts of a bus."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from layout.project.reading.located import fault, unknown
from layout.project.reading.spelling import among, meant
from layout.project.reading.tree import Key, Leaf, TableNode, dotted, find
from layout.project.reading.walk import matching, names, tables

if TYPE_CHECKING:
    from layout.findings import Finding


def said_switch_states(tree: TableNode) -> list[Finding]:
    """Let a switch stand only in positions it has."""
    found = []
    for key, leaf in matching(tree, ("switch_states", "*", "*")):
        switch = find(tree, ("battery_switches", key[-1]))
        if not isinstance(switch, TableNode) or leaf.value is None:
            continue
        kind = switch.get("kind")
        is_changeover = isinstance(kind, Leaf) and kind.text == "changeover"
        known = names(switch, "positions") or (("1", "2", "off") if is_changeover else ("on", "off"))
        if leaf.text not in known:
            message = f"{dotted(key)}: the switch '{key[-1]}' has no position '{leaf.text}'; it has {among(known)}"
            found.append(fault(tree, key, "file 54", message, meant(leaf.text, known, what="write one of")))
    return found


def ways(tree: TableNode) -> list[Finding]:
    """Let a way feed one circuit and a circuit hang on one way, and both say the same."""
    by_way: dict[str, list[Key]] = defaultdict(list)
    by_circuit: dict[str, list[Key]] = defaultdict(list)
    for key, leaf in matching(tree, ("circuits", "*", "from")):
        owner, slash, way = leaf.text.partition("/")
        if slash and find(tree, ("breaker_panels", owner, "ways", way)) is not None:
            by_way[leaf.text].append(key)
    found = []
    for key, leaf in matching(tree, ("breaker_panels", "*", "ways", "*", "circuit")):
        way = f"{key[1]}/{key[3]}"
        by_circuit[leaf.text].append(key)
        origin = find(tree, ("circuits", leaf.text, "from"))
        if isinstance(origin, Leaf) and origin.text not in (way, str(key[1])):
            message = f"way '{way}' names circuit '{leaf.text}', which says it comes from '{origin.text}'"
            also: Key = ("circuits", leaf.text, "from")
            found.append(fault(tree, key, "file 55", message, "make both say the same", also=also))
        elif by_way[way] and all(other[1] != leaf.text for other in by_way[way]):
            other = by_way[way][0]
            message = f"way '{way}' names circuit '{leaf.text}', but circuit '{other[1]}' comes from it"
            found.append(fault(tree, key, "file 55", message, "make both say the same", also=other))
        free = find(tree, (*key[:-1], "free"))
        if isinstance(free, Leaf) and free.value is True:
            message = f"way '{way}' is kept free but names circuit '{leaf.text}'"
            found.append(fault(tree, key, "file 55", message, "keep one of them", also=(*key[:-1], "free")))
    for way, users in by_way.items():
        for key in users[1:]:
            message = f"way '{way}' feeds two circuits, '{users[0][1]}' and '{key[1]}'"
            found.append(fault(tree, key, "file 55", message, "give each circuit a way of its own", also=users[0]))
    for circuit, keys in by_circuit.items():
        for key in keys[1:]:
            message = f"circuit '{circuit}' stands on two ways, {_way(keys[0])} and {_way(key)}"
            found.append(fault(tree, key, "file 55", message, "delete one of them", also=keys[0]))
    return found


def device_joins(tree: TableNode) -> list[Finding]:
    """Let a device join only terminals it has."""
    found = []
    for key, leaf in matching(tree, ("devices", "*", "joins", "*", "*")):
        known = names(tree, f"devices.{key[1]}.terminals")
        if leaf.value is not None and leaf.text not in known:
            message = f"{dotted(key)}: the device '{key[1]}' has no terminal '{leaf.text}'; it has {among(known)}"
            found.append(fault(tree, key, "file 51", message, meant(leaf.text, known, what="write one of")))
    return found


def bus_parts(tree: TableNode) -> list[Finding]:
    """Let parts of a built backbone name nodes of their bus, labels of its parts, and places."""
    found = []
    for key, bus in tables(tree, ("networks", "*")):
        nodes = names(bus, "nodes")
        labels = tuple(leaf.text for _, leaf in matching(bus, ("built", "*", "label")))
        places = names(tree, "locations")
        for pattern, known, called in (
            (("built", "*", "nodes", "*"), nodes, "node of this bus"),
            (("built", "*", "after"), labels, "label of a part"),
            (("built", "*", "joins"), labels, "label of a part"),
            (("shield_earths", "*"), (*labels, *places), "location or label of a part"),
        ):
            for inner, leaf in matching(bus, pattern):
                if leaf.value is not None and leaf.text not in known:
                    found.append(unknown(tree, (*key, *inner), leaf.text, called, known))
    return found


def _way(key: Key) -> str:
    return f"{key[1]}/{key[3]}"
