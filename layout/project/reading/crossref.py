"""Does everything that is named exist, and is every name free? Works on the tree, beside whatever else is wrong."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from layout.project.reading.connections import bus_parts, device_joins, said_switch_states, ways
from layout.project.reading.end_names import end_faults
from layout.project.reading.located import fault, unknown
from layout.project.reading.references import OWN_KEYS, OWNERS, REFERENCES, Reference
from layout.project.reading.tree import Key, Leaf, TableNode, dotted, find
from layout.project.reading.walk import matching, names, tables
from layout.quantity import QuantityError, WireSize

if TYPE_CHECKING:
    from layout.findings import Finding

_UNFIT = re.compile(r"[./:,\[\]{}\x00-\x1f\x7f]|^\s|\s$|^$")
MOST_ID = 60
"""Signs of an id; file names and wire keys are made of ids."""

FILES_OF = ("panels", "energy.situations")
"""Sections whose entries have files of their own, named by their ids."""


def cross_references(tree: TableNode) -> list[Finding]:
    """Check all names of a project; every fault is reported, none stops the others."""
    return [finding for check in CHECKS for finding in check(tree)]


def unknown_names(tree: TableNode) -> list[Finding]:
    """Look up each name of the table of references among the entries of its section."""
    found = []
    for row in REFERENCES:
        known = names(tree, row.section)
        for key, leaf in matching(tree, row.pattern):
            if leaf.value is not None and leaf.text not in known:
                found.append(unknown(tree, key, leaf.text, row.called, known))
    return found


def own_keys(tree: TableNode) -> list[Finding]:
    """Look up entries that name a device or supply by their own key and say no other."""
    found = []
    for pattern, says, section, called in OWN_KEYS:
        known = names(tree, section)
        for key, table in tables(tree, pattern.split(".")):
            if table.get(says) is None and str(key[-1]) not in known:
                found.append(unknown(tree, key, str(key[-1]), called, known))
    return found


def unfit_ids(tree: TableNode) -> list[Finding]:
    """Keep signs that separate names out of ids."""
    sections = (
        "panels",
        "locations",
        "wireways",
        "cables",
        "circuits",
        "feeders",
        "networks",
        "serial",
        "signals",
        "antennas",
        *OWNERS,
    )
    nested = [("devices", "*", "terminals"), ("breaker_panels", "*", "ways"), ("circuits", "*", "legs")]
    remedy = f"at most {MOST_ID} signs, without . / : , brackets and outer blanks; what people read goes into name"
    return [
        fault(tree, (*key, name), "file 53", f"'{name}' can't be an id in {dotted(key)}", remedy)
        for pattern in [*((section,) for section in dict.fromkeys(sections)), *nested]
        for key, table in tables(tree, pattern)
        for name in table.members
        if _UNFIT.search(name) or len(name) > MOST_ID
    ]


def same_file_names(tree: TableNode) -> list[Finding]:
    """Keep apart ids that would name one file: signs that a file name can't have are written as a hyphen in it."""
    found = []
    for section in FILES_OF:
        first: dict[str, str] = {}
        for name in names(tree, section):
            plain = re.sub(r"[^\w]|_", "-", name).lower()
            other = first.setdefault(plain, name)
            if other != name:
                key: Key = (*section.split("."), name)
                message = f"'{name}' and '{other}' of {section} would have files of one name"
                also = (*section.split("."), other)
                found.append(fault(tree, key, "file 59", message, "rename one of them", also=also))
    return found


def shared_names(tree: TableNode) -> list[Finding]:
    """Keep owners of ends apart: sections share a name only where one entry is the device or place of that name."""
    first: dict[str, str] = {}
    found = []
    for section, called in OWNERS.items():
        for name in names(tree, section):
            if name not in first:
                first[name] = section
                continue
            entry = find(tree, (first[name], name))
            link = entry.get("device" if section == "devices" else "place") if isinstance(entry, TableNode) else None
            if section in ("devices", "locations") and isinstance(link, Leaf) and link.text == name:
                continue
            message = f"'{name}' is both a {OWNERS[first[name]]} and a {called}; an end '{name}' could be either"
            found.append(
                fault(tree, (section, name), "file 52", message, "rename one of them", also=(first[name], name))
            )
    return found


def classes_apart(tree: TableNode) -> list[Finding]:
    """Look up both sides of rules between devices: a device, or ``class:`` with a class that some device has."""
    devices = names(tree, "devices")
    known = dict.fromkeys(leaf.text for _, leaf in matching(tree, ("devices", "*", "classes", "?")))
    found = []
    for key, leaf in matching(tree, ("rules", "apart", "*", "between", "*")):
        if leaf.text.startswith("class:"):
            name = leaf.text.removeprefix("class:").strip()
            if name not in known:
                found.append(unknown(tree, key, name, "class of devices", tuple(known)))
        elif leaf.text not in devices:
            found.append(unknown(tree, key, leaf.text, "device", devices))
    return found


def cable_sizes(tree: TableNode) -> list[Finding]:
    """Let the sizes of a kind of cable be wire sizes."""
    found = []
    for key, leaf in matching(tree, ("cables", "*", "sizes", "@")):
        try:
            WireSize.read(leaf.text)
        except QuantityError as error:
            found.append(fault(tree, key, "file 32", f"{dotted(key[:-1])}: {error}", "write {2.5 mm2: 3.6 mm}"))
    return found


def mounted_devices(tree: TableNode) -> list[Finding]:
    """Let rules and wishes for placing speak only of devices that stand on a panel."""
    devices = find(tree, ("devices",))
    elsewhere = {
        name: member.value
        for name, member in (devices.members.items() if isinstance(devices, TableNode) else ())
        if isinstance(member.value, TableNode) and member.value.get("panel") is None
    }
    found = []
    for row in (*REFERENCES, Reference(("rules", "apart", "*", "between", "*"), "devices", "device")):
        if row.section == "devices" and row.pattern[0] in ("rules", "wishes"):
            for key, leaf in matching(tree, row.pattern):
                if leaf.text in elsewhere:
                    message = f"{dotted(key)}: the device '{leaf.text}' stands on no panel, so it can't be placed"
                    also: Key = ("devices", leaf.text)
                    found.append(fault(tree, key, "file 58", message, "leave it out, or give it a panel", also=also))
    return found


CHECKS = (
    unknown_names,
    own_keys,
    end_faults,
    unfit_ids,
    same_file_names,
    shared_names,
    classes_apart,
    cable_sizes,
    mounted_devices,
    said_switch_states,
    ways,
    device_joins,
    bus_parts,
)
"""Every check, in the order they run."""
