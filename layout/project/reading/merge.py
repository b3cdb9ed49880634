"""What a device takes over: keys of the defaults, then of its type, then its own; each keeps its place."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Finding, Place
from layout.project import catalogue
from layout.project.reading.spelling import among, nearest
from layout.project.reading.tree import FileSpot, Key, Leaf, Member, TableNode, dotted, file_place, plain_values

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_SHAPES = frozenset({"rect", "circle", "slot", "polygon", "path"})


def with_types(tree: TableNode) -> tuple[TableNode, list[Finding]]:
    """Return the project's tree with every device written out in full.

    A device's own key wins over its type's, and that over ``defaults: devices:``. Tables are merged key by key, lists
    and whole shapes replaced. A type is an entry of ``shelf`` or of the catalogue; the shelf wins.
    """
    devices = tree.get("devices")
    if not isinstance(devices, TableNode):
        return tree, []
    shelf, defaults = tree.get("shelf"), tree.get("defaults")
    common = defaults.get("devices") if isinstance(defaults, TableNode) else None
    findings: list[Finding] = []
    entries = shelf.members if isinstance(shelf, TableNode) else {}
    done = {}
    given_way: dict[str, list[str]] = {}
    for name, member in devices.members.items():
        own = member.value
        if isinstance(own, TableNode):
            for base in list(_bases(("devices", name), own, entries, findings)):
                own = _over(base, own)
            if isinstance(common, TableNode):
                for key, default in common.members.items():
                    lent = own.members.get(key)
                    if lent is not None and lent.lent and plain_values(lent.value) != plain_values(default.value):
                        given_way.setdefault(key, []).append(name)
                own = _over(common, own)
        done[name] = replace(member, value=own)
    findings += [_given_way(tree, key, names) for key, names in given_way.items()]
    members = {**tree.members, "devices": replace(tree.members["devices"], value=TableNode(devices.at, done))}
    return TableNode(tree.at, members), findings


def _bases(key: Key, own: TableNode, shelf: Mapping[str, Member], findings: list[Finding]) -> Iterator[TableNode]:
    """Give the tables that a device builds on, nearest first; a shelf entry may itself have a type.

    The entry of the shelf that bears a catalogue name may build on the catalogue's.
    """
    passed: list[str] = []
    current = own
    while isinstance(kind := current.get("type"), Leaf) and kind.value is not None:
        name = kind.text
        is_same = passed[-1:] == [name] and name in shelf and passed.count(name) == 1
        if name in passed and not is_same:
            way = " -> ".join((*passed[passed.index(name) :], name))
            message = f"the type '{name}' builds on itself: {way}"
            findings.append(_fault("file 41", kind.at, key, message, "delete one of these types"))
            return
        passed.append(name)
        found = None if is_same else shelf.get(name)
        from_catalogue = None if found else catalogue.entry(name)
        if found is not None and isinstance(found.value, TableNode):
            current = found.value
        elif from_catalogue is not None:
            current = from_catalogue.keys
        else:
            if found is None:
                findings.append(_unknown(kind, key, shelf))
            return
        yield current


def _given_way(tree: TableNode, key: str, names: list[str]) -> Finding:
    """Say where a default does not hold: what a type says of its sizes and tolerance is known, a default is not."""
    whom = among(names)
    said = f"defaults.devices.{key} does not wholly hold for {whom}: the type says it, and knows its devices better"
    at, _ = file_place(tree, ("defaults", "devices", key))
    related = tuple(file_place(tree, ("devices", name))[0] for name in names)
    remedy = f"write {key} at the device where it is to hold all the same"
    return Finding(rule="file 71", message=said, at=at, related=related, remedy=remedy)


def _unknown(kind: Leaf, key: Key, shelf: Mapping[str, Member]) -> Finding:
    near = nearest(kind.text, [*shelf, *catalogue.entries()])
    samples = {entry.keys.at.file: entry.name for entry in list(catalogue.entries().values())[::-1]}
    remedy = f"did you mean '{near}'?" if near else f"write its sizes here, or use {among([*shelf, *samples.values()])}"
    message = f"the type '{kind.text}' is neither on the shelf nor in the catalogue"
    return _fault("file 40", kind.at, key, message, remedy)


def _over(base: TableNode, own: TableNode) -> TableNode:
    """Return ``own`` with what only ``base`` says, marked as lent."""
    if _SHAPES & set(own.members) and _SHAPES & set(base.members):
        return own
    members = dict(own.members)
    for key, member in base.members.items():
        mine = members.get(key)
        if mine is None:
            members[key] = replace(member, lent=True)
        elif isinstance(mine.value, TableNode) and isinstance(member.value, TableNode):
            members[key] = replace(mine, value=_over(member.value, mine.value))
    return TableNode(own.at, members)


def _fault(rule: str, spot: FileSpot, key: Key, message: str, remedy: str) -> Finding:
    at = Place(spot.file, spot.line, spot.column, dotted(key))
    return Finding(rule=rule, message=message, at=at, remedy=remedy)
