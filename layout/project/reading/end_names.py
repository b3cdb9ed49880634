"""Ends of conductors, ``owner/terminal``: there must be such an owner, and it must have such a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.project.reading.references import ENDS, OWNERS
from layout.project.reading.spelling import among, meant
from layout.project.reading.tree import Key, Leaf, TableNode, dotted, file_place, find
from layout.project.reading.walk import matching, names

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

_DC = ("+", "-")
MOST_OUTPUTS = 6
_AC = ("L", "N", "PE")


def end_faults(tree: TableNode) -> list[Finding]:
    """Check every end of the project against what is declared."""
    owners = {name: section for section in reversed(OWNERS) for name in names(tree, section)}
    found = [_fault(tree, key, leaf, owners) for pattern in ENDS for key, leaf in matching(tree, pattern)]
    return [finding for finding in found if finding is not None]


def _fault(tree: TableNode, key: Key, leaf: Leaf, owners: Mapping[str, str]) -> Finding | None:
    if leaf.value is None:
        return None
    owner, slash, terminal = leaf.text.partition("/")
    at, related = file_place(tree, key)
    section = owners.get(owner)
    if section is None:
        kinds = ", ".join(OWNERS.values())
        return Finding(
            rule="file 50",
            message=f"{dotted(key)}: nothing is called '{owner}' (looked among {kinds})",
            at=at,
            related=related,
            remedy=meant(owner, owners, what="known ends"),
        )
    known = _terminals(tree, section, owner)
    if not slash or known is None or terminal in known:
        return None
    what = "way or terminal" if section == "breaker_panels" else "terminal"
    return Finding(
        rule="file 51",
        message=f"{dotted(key)}: the {OWNERS[section]} '{owner}' has no {what} '{terminal}'; it has {among(known)}",
        at=at,
        related=(*related, file_place(tree, (section, owner))[0]),
        remedy=meant(terminal, known, what="write one of"),
    )


def _terminals(tree: TableNode, section: str, owner: str) -> tuple[str, ...] | None:
    """Return the terminals an owner has, or None where any is taken (none declared, a bar's studs)."""
    entry = find(tree, (section, owner))
    if not isinstance(entry, TableNode):
        return None
    declared: Iterable[str] = ()
    device = entry.get("device")
    if isinstance(device, Leaf):
        declared = names(tree, f"devices.{device.text}.terminals")
    if section == "supplies":
        kind = entry.get("kind")
        text = kind.text if isinstance(kind, Leaf) else ""
        outputs = entry.get("outputs")
        count = outputs.value if isinstance(outputs, Leaf) and isinstance(outputs.value, int) else 1
        declared = (*(f"+{number}" for number in range(2, min(count, MOST_OUTPUTS) + 1)), *declared)
        poles = (*_AC, *_DC) if text == "inverter" else _AC if text in ("shore", "generator") else _DC
        return (
            *poles,
            *(("in",) if {"fed_from", "transfer"} & set(entry.members) else ()),
            *(("in-",) if text == "converter" and entry.get("fed_from") is not None else ()),
            *(("excitation", "sense") if text == "alternator" else ()),
            *declared,
        )
    if section == "battery_switches":
        return _switch_terminals(entry)
    if section == "breaker_panels":
        ways = entry.get("ways")
        own = tuple(ways.members) if isinstance(ways, TableNode) else ()
        return ("in", *_DC, *_AC, *own, *declared)
    if section == "locations":
        return ()
    own = names(tree, f"{section}.{owner}.terminals")
    return tuple(own) or None


def _switch_terminals(entry: TableNode) -> tuple[str, ...]:
    positions = entry.get("positions")
    if isinstance(positions, TableNode):
        return tuple(dict.fromkeys(leaf.text for _, leaf in matching(positions, ("*", "*", "*"))))
    kind = entry.get("kind")
    return ("in1", "in2", "out") if isinstance(kind, Leaf) and kind.text == "changeover" else ("in", "out")
