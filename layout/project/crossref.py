"""Does everything that is named exist, and is every name free? Works on the tree, beside whatever else is wrong."""

from __future__ import annotations

import re
from collections import defaultdict

from layout.findings import Finding
from layout.project.ends import end_faults
from layout.project.references import OWN_KEYS, OWNERS, REFERENCES
from layout.project.spelling import among, meant
from layout.project.tree import Key, Leaf, Table, dotted, find, place
from layout.project.walk import matching, names, tables

_UNFIT = re.compile(r"[./:,\[\]{}\n\t]|^\s|\s$|^$")


def cross_references(tree: Table) -> list[Finding]:
    """Check all names of a project; every fault is reported, none stops the others."""
    checks = (unknown_names, own_keys, end_faults, unfit_ids, shared_names, classes_apart, switch_states, ways)
    return [finding for check in checks for finding in check(tree)]


def unknown_names(tree: Table) -> list[Finding]:
    """Look up each name of the table of references among the entries of its section."""
    found = []
    for row in REFERENCES:
        known = names(tree, row.section)
        for key, leaf in matching(tree, row.pattern):
            if leaf.value is not None and leaf.text not in known:
                found.append(_unknown(tree, key, leaf.text, row.called, known))
    return found


def own_keys(tree: Table) -> list[Finding]:
    """Look up entries that name a device or supply by their own key and say no other."""
    found = []
    for pattern, says, section, called in OWN_KEYS:
        known = names(tree, section)
        for key, table in tables(tree, pattern.split(".")):
            if table.get(says) is None and str(key[-1]) not in known:
                found.append(_unknown(tree, key, str(key[-1]), called, known))
    return found


def unfit_ids(tree: Table) -> list[Finding]:
    """Keep signs that separate names out of ids."""
    sections = ("panels", "places", "wireways", "cables", "circuits", "feeders", "buses", "serial", "antennas", *OWNERS)
    nested = [("devices", "*", "terminals"), ("distribution", "*", "ways"), ("circuits", "*", "legs")]
    remedy = "leave out . / : , brackets and outer blanks; what people read goes into name"
    return [
        _fault(tree, (*key, name), "INP053", f"'{name}' can't be an id in {dotted(key)}", remedy)
        for pattern in [*((section,) for section in dict.fromkeys(sections)), *nested]
        for key, table in tables(tree, pattern)
        for name in table.members
        if _UNFIT.search(name)
    ]


def shared_names(tree: Table) -> list[Finding]:
    """Keep owners of ends apart: sections share a name only where one entry is the device or place of that name."""
    first: dict[str, str] = {}
    found = []
    for section, called in OWNERS.items():
        for name in names(tree, section):
            if name not in first:
                first[name] = section
                continue
            entry = find(tree, (first[name], name))
            link = entry.get("device" if section == "devices" else "place") if isinstance(entry, Table) else None
            if section in ("devices", "places") and isinstance(link, Leaf) and link.text == name:
                continue
            message = f"'{name}' is both a {OWNERS[first[name]]} and a {called}; an end '{name}' could be either"
            found.append(
                _fault(tree, (section, name), "INP052", message, "rename one of them", also=(first[name], name))
            )
    return found


def classes_apart(tree: Table) -> list[Finding]:
    """Look up both sides of rules between devices: a device, or ``class:`` with a class that some device has."""
    devices = names(tree, "devices")
    known = dict.fromkeys(leaf.text for _, leaf in matching(tree, ("devices", "*", "classes", "?")))
    found = []
    for key, leaf in matching(tree, ("rules", "apart", "*", "between", "*")):
        if leaf.text.startswith("class:"):
            name = leaf.text.removeprefix("class:").strip()
            if name not in known:
                found.append(_unknown(tree, key, name, "class of devices", tuple(known)))
        elif leaf.text not in devices:
            found.append(_unknown(tree, key, leaf.text, "device", devices))
    return found


def switch_states(tree: Table) -> list[Finding]:
    """Let a switch stand only in positions it has."""
    found = []
    for key, leaf in matching(tree, ("states", "*", "*")):
        switch = find(tree, ("switches", key[-1]))
        if not isinstance(switch, Table) or leaf.value is None:
            continue
        kind = switch.get("kind")
        is_changeover = isinstance(kind, Leaf) and kind.text == "changeover"
        known = names(switch, "positions") or (("1", "2", "off") if is_changeover else ("on", "off"))
        if leaf.text not in known:
            message = f"{dotted(key)}: the switch '{key[-1]}' has no position '{leaf.text}'; it has {among(known)}"
            found.append(_fault(tree, key, "INP054", message, meant(leaf.text, known, what="write one of")))
    return found


def ways(tree: Table) -> list[Finding]:
    """Let a way feed one circuit and a circuit hang on one way, and both say the same."""
    by_way: dict[str, list[Key]] = defaultdict(list)
    by_circuit: dict[str, list[Key]] = defaultdict(list)
    for key, leaf in matching(tree, ("circuits", "*", "from")):
        owner, slash, way = leaf.text.partition("/")
        if slash and find(tree, ("distribution", owner, "ways", way)) is not None:
            by_way[leaf.text].append(key)
    found = []
    for key, leaf in matching(tree, ("distribution", "*", "ways", "*", "circuit")):
        way = f"{key[1]}/{key[3]}"
        by_circuit[leaf.text].append(key)
        origin = find(tree, ("circuits", leaf.text, "from"))
        if isinstance(origin, Leaf) and origin.text not in (way, str(key[1])):
            message = f"way '{way}' names circuit '{leaf.text}', which says it comes from '{origin.text}'"
            also: Key = ("circuits", leaf.text, "from")
            found.append(_fault(tree, key, "INP055", message, "make both say the same", also=also))
        elif by_way[way] and all(other[1] != leaf.text for other in by_way[way]):
            other = by_way[way][0]
            message = f"way '{way}' names circuit '{leaf.text}', but circuit '{other[1]}' comes from it"
            found.append(_fault(tree, key, "INP055", message, "make both say the same", also=other))
    for way, users in by_way.items():
        for key in users[1:]:
            message = f"way '{way}' feeds two circuits, '{users[0][1]}' and '{key[1]}'"
            found.append(_fault(tree, key, "INP055", message, "give each circuit a way of its own", also=users[0]))
    for circuit, keys in by_circuit.items():
        for key in keys[1:]:
            message = f"circuit '{circuit}' stands on two ways, {_way(keys[0])} and {_way(key)}"
            found.append(_fault(tree, key, "INP055", message, "delete one of them", also=keys[0]))
    return found


def _way(key: Key) -> str:
    return f"{key[1]}/{key[3]}"


def _unknown(tree: Table, key: Key, name: str, called: str, known: tuple[str, ...]) -> Finding:
    article = "an" if called[0] in "aeiou" else "a"
    remedy = meant(name, known, what="known") if known else f"declare {article} {called} of this name"
    return _fault(tree, key, "INP050", f"{dotted(key)}: there is no {called} '{name}'", remedy)


def _fault(tree: Table, key: Key, rule: str, message: str, remedy: str, *, also: Key | None = None) -> Finding:
    at, related = place(tree, key)
    if also is not None:
        related = (*related, place(tree, also)[0])
    return Finding(rule=rule, message=message, at=at, related=related, remedy=remedy)
