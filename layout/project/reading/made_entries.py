"""Entries that another entry of the file says in short: each is made in full and stands where the short one does."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.project.model.supplies import Protection
from layout.project.reading import spec
from layout.project.reading.located import fault
from layout.project.reading.spelling import meant
from layout.project.reading.tree import FileSpot, Items, Key, Leaf, Member, TableNode, Tree
from layout.quantity import QuantityError, parse

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from layout.findings import Finding

ALL = "all"
"""Among the ways of a breaker panel: what holds for each of them that says nothing else."""

ALONG = ("current", "cable", "size", "wireways", "length", "cranking", "harness", "always_live", "aboard")
"""What a feeder's return has in common with it."""

_SIDES = ((-1, 1), (1, 1), (-1, -1), (1, -1))
"""Corners in the order their holes are made: the upper two from the left, then the lower two."""


def made_in_full(tree: TableNode) -> tuple[TableNode, list[Finding]]:
    """Return the tree with all entries that are said in short, and what is wrong with these."""
    findings: list[Finding] = []
    for step in (_ways, _corners, _protection, _returns, _things_elsewhere, _legs, _rest_off):
        tree = step(tree, findings)
    return tree, findings


def each(tree: TableNode, section: str, change: Callable[[str, TableNode], TableNode]) -> TableNode:
    """Return the tree with each table of a section changed; the change gets its key and itself."""
    entries = tree.get(section)
    if not isinstance(entries, TableNode):
        return tree
    made = {}
    for name, member in entries.members.items():
        value = change(name, member.value) if isinstance(member.value, TableNode) else member.value
        made[name] = member if value is member.value else replace(member, value=value)
    return with_value(tree, section, TableNode(entries.at, made))


def with_value(table: TableNode, key: str, value: Tree) -> TableNode:
    """Return a table with another value at a key."""
    member = table.members.get(key)
    return TableNode(
        table.at, {**table.members, key: replace(member, value=value) if member else Member(value.at, value)}
    )


def _without(table: TableNode, *keys: str) -> TableNode:
    return TableNode(table.at, {name: member for name, member in table.members.items() if name not in keys})


def _lent(own: TableNode, common: Mapping[str, Member]) -> TableNode:
    """Return a table with what only the common entry says, marked as lent."""
    more = {key: replace(member, lent=True) for key, member in common.items() if key not in own.members}
    return TableNode(own.at, {**own.members, **more}) if more else own


def _text(at: FileSpot, text: str) -> Member:
    return Member(at, Leaf(at, text, text))


def _unclear(tree: TableNode, key: Key, message: str, remedy: str) -> Finding:
    return fault(tree, key, "file 47", message, remedy)


def _ways(tree: TableNode, _: list[Finding]) -> TableNode:
    """Give each way of a breaker panel what ``all`` says, unless it says so itself."""

    def panel(_: str, table: TableNode) -> TableNode:
        ways = table.get("ways")
        common = ways.get(ALL) if isinstance(ways, TableNode) else None
        if not isinstance(ways, TableNode) or not isinstance(common, TableNode):
            return table
        made = {
            name: replace(way, value=_lent(way.value, common.members)) if isinstance(way.value, TableNode) else way
            for name, way in ways.members.items()
            if name != ALL
        }
        return with_value(table, "ways", TableNode(ways.at, made))

    return each(tree, "breaker_panels", panel)


def _corners(tree: TableNode, findings: list[Finding]) -> TableNode:
    """Make the four holes at the corners of a rectangle round the face's centre."""

    def fixing(key: Key, entry: Tree) -> tuple[Tree, ...]:
        sides = entry.get("corners") if isinstance(entry, TableNode) else None
        if not isinstance(entry, TableNode) or not isinstance(sides, Items) or len(sides.items) != 2:
            return (entry,)
        if "at" in entry.members:
            findings.append(_unclear(tree, key, "a fixing says both corners and at", "keep one of them"))
            return (_without(entry, "corners"),)
        halves = [_half(side) for side in sides.items]
        if None in halves:
            return (entry,)
        rest = _without(entry, "corners").members
        return tuple(
            TableNode(entry.at, {"at": Member(sides.at, _pair(sides, halves, side)), **rest}) for side in _SIDES
        )

    def device(section: str, name: str, table: TableNode) -> TableNode:
        fixings = table.get("fixings")
        if not isinstance(fixings, Items):
            return table
        made = [fixing((section, name, "fixings", at), entry) for at, entry in enumerate(fixings.items)]
        return with_value(table, "fixings", Items(fixings.at, tuple(hole for holes in made for hole in holes)))

    for section in ("shelf", "devices"):
        tree = each(tree, section, lambda name, table, section=section: device(section, name, table))  # type: ignore[misc]
    return tree


def _half(side: Tree) -> float | None:
    try:
        half = parse(side.value if isinstance(side, Leaf) else None, "length", bare=True) / 2
    except QuantityError:
        return None
    return half if half > 0 else None


def _pair(sides: Items, halves: list[float | None], signs: tuple[int, int]) -> Items:
    values = [(sign * (half or 0.0), side) for sign, half, side in zip(signs, halves, sides.items, strict=True)]
    return Items(sides.at, tuple(Leaf(side.at, f"{value:g}", value) for value, side in values))


def _protection(tree: TableNode, findings: list[Finding]) -> TableNode:
    """Give each protective device what ``defaults: protection:`` says of its kind, unless it says so itself."""
    defaults = tree.get("defaults")
    by_kind = defaults.get("protection") if isinstance(defaults, TableNode) else None
    if not isinstance(by_kind, TableNode):
        return tree
    known = spec.spec_words(spec.keys(Protection)["kind"][1])
    for name in by_kind.members:
        if name not in known:
            key = ("defaults", "protection", name)
            remedy = meant(name, known, what="write one of")
            findings.append(fault(tree, key, "file 35", f"there is no kind of protective device '{name}'", remedy))

    def entry(table: TableNode) -> TableNode:
        for key in ("protection", "protection_to", "main"):
            device = table.get(key)
            kind = device.get("kind") if isinstance(device, TableNode) else None
            common = by_kind.get(kind.text) if isinstance(kind, Leaf) else None
            if isinstance(device, TableNode) and isinstance(common, TableNode):
                table = with_value(table, key, _lent(device, common.members))
        return each(table, "legs", lambda _, leg: entry(leg))

    for section in ("feeders", "circuits", "breaker_panels"):
        tree = each(tree, section, lambda _, table: entry(table))
    return tree


def _returns(tree: TableNode, findings: list[Finding]) -> TableNode:
    """Make the return beside a feeder a feeder of its own, as long, thick and routed as the feeder."""
    feeders = tree.get("feeders")
    if not isinstance(feeders, TableNode):
        return tree
    made: dict[str, Member] = {}
    for name, member in feeders.members.items():
        feeder = member.value
        ends = feeder.get("return") if isinstance(feeder, TableNode) else None
        if not isinstance(feeder, TableNode) or not isinstance(ends, Items) or len(ends.items) != 2:
            made[name] = member
            continue
        made[name] = replace(member, value=_without(feeder, "return"))
        back, at = f"{name}_return", feeder.members["return"].at
        if back in feeders.members:
            remedy = f"delete 'return', or give the feeder '{back}' another id"
            key = ("feeders", name, "return")
            findings.append(_unclear(tree, key, f"the feeder '{back}' is declared too", remedy))
            continue
        called = feeder.get("name")
        title = called.text if isinstance(called, Leaf) else name
        keys = {"name": _text(at, f"{title} (-)"), "from": Member(at, ends.items[0]), "to": Member(at, ends.items[1])}
        common = {key: replace(feeder.members[key], lent=True) for key in ALONG if key in feeder.members}
        made[back] = Member(at, TableNode(at, {**keys, "poles": _text(at, "-"), **common}))
    return with_value(tree, "feeders", TableNode(feeders.at, made))


def _things_elsewhere(tree: TableNode, findings: list[Finding]) -> TableNode:
    """Make what a circuit feeds, where the circuit says it, a device under the circuit's id and with its name."""
    circuits, devices = tree.get("circuits"), tree.get("devices")
    known = dict(devices.members) if isinstance(devices, TableNode) else {}
    many = len(known)

    def circuit(name: str, table: TableNode) -> TableNode:
        thing = table.get("to")
        if not isinstance(thing, TableNode):
            return table
        at = table.members["to"].at
        if name in known:
            remedy = f"write to: {name}, or give one of them another id"
            key = ("circuits", name, "to")
            findings.append(_unclear(tree, key, f"the device '{name}' is declared too", remedy))
        else:
            called = {"name": replace(table.members["name"], lent=True)} if "name" in table.members else {}
            known[name] = Member(at, TableNode(thing.at, {**called, **thing.members}))
        return with_value(table, "to", Leaf(at, name, name))

    changed = each(tree, "circuits", circuit)
    if len(known) == many or circuits is None:
        return changed
    return with_value(changed, "devices", TableNode(devices.at if devices is not None else circuits.at, known))


def _legs(tree: TableNode, findings: list[Finding]) -> TableNode:
    """Make the conductors of a circuit that leads through a switch, or back to another place than it comes from."""
    panels = tree.get("breaker_panels")

    def circuit(name: str, table: TableNode) -> TableNode:
        said = {key: table.get(key) for key in ("via", "return", "from", "to")}
        used = [key for key in ("via", "return") if said[key] is not None]
        if not used:
            return table
        start, end = said["from"], said["to"]
        if not all(isinstance(leaf, Leaf) and leaf.value is not None for leaf in said.values() if leaf is not None):
            return table
        if not isinstance(start, Leaf) or not isinstance(end, Leaf):
            return _without(table, *used)
        key: Key = ("circuits", name, used[0])
        owner = start.text.partition("/")[0]
        panel = panels.get(owner) if isinstance(panels, TableNode) else None
        message, remedy = "", "say each conductor in legs"
        if table.get("legs") is not None:
            message, remedy = f"says both {used[0]} and legs", "keep one of them"
        elif "/" in end.text:
            message = f"{used[0]} goes with the + and - of a thing, and to names one terminal of it"
        elif isinstance(panel, TableNode) and isinstance(ac := panel.get("ac"), Leaf) and ac.value is True:
            message = f"{used[0]} is for direct current, and '{owner}' is alternating"
        elif not isinstance(panel, TableNode) and said["return"] is None:
            message = f"'{owner}' is no breaker panel, so where the - leads back to is open"
            remedy = "add return: and the end it leads back to"
        if message:
            findings.append(_unclear(tree, key, f"circuits.{name}: {message}", remedy))
            return _without(table, *used)
        return with_value(_without(table, *used), "legs", _conductors(table, owner))

    return each(tree, "circuits", circuit)


def _conductors(circuit: TableNode, owner: str) -> TableNode:
    start, end, switch, back = (
        leaf.text if isinstance(leaf := circuit.get(key), Leaf) else "" for key in ("from", "to", "via", "return")
    )
    if switch:
        legs = {"to_switch": (start, f"{switch}/in", "+"), "run": (f"{switch}/out", f"{end}/+", "switched")}
    else:
        legs = {"feed": (start, f"{end}/+", "+")}
    legs["back"] = (f"{end}/-", back or f"{owner}/-", "-")
    at = circuit.members["via" if switch else "return"].at
    live = {key: replace(member, lent=True) for key, member in circuit.members.items() if key == "always_live"}
    made = {}
    for leg, row in legs.items():
        keys = {key: _text(at, text) for key, text in zip(("from", "to", "pole"), row, strict=True)}
        made[leg] = Member(at, TableNode(at, {**keys, **(live if leg != "back" else {})}))
    return TableNode(at, made)


def _rest_off(tree: TableNode, _: list[Finding]) -> TableNode:
    """List all that a situation with ``rest: off`` does not use among what is off in it."""
    energy = tree.get("energy")
    if not isinstance(energy, TableNode):
        return tree
    declared = [
        names.members for names in (tree.get("circuits"), energy.get("charging")) if isinstance(names, TableNode)
    ]

    def situation(_: str, table: TableNode) -> TableNode:
        rest, off = table.get("rest"), table.get("off")
        if not isinstance(rest, Leaf) or rest.text != "off":
            return table
        used = {
            name
            for key in ("uses", "sources")
            if isinstance(part := table.get(key), TableNode)
            for name in part.members
        }
        items = off.items if isinstance(off, Items) else (off,) if off is not None else ()
        used |= {item.text for item in items if isinstance(item, Leaf)}
        more = (Leaf(rest.at, name, name) for names in declared for name in names if name not in used)
        return with_value(_without(table, "rest"), "off", Items(rest.at if off is None else off.at, (*items, *more)))

    return with_value(tree, "energy", each(energy, "situations", situation))
