"""Read the catalogue's files."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass
from layout.project.reading.nodes import compose
from layout.project.reading.tree import BUILT_IN, Leaf, TableNode

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueEntry:
    """One generic device.

    Attributes
    ----------
    name
        What ``type:`` says.
    about
        What it is, and what the standard leaves open.
    source, basis
        The standard, and whether its figures were read there, are from memory, or mixed.
    keys
        Its keys as a device would write them.
    """

    name: str
    about: str
    source: str
    basis: Literal["read", "memory", "derived"]
    keys: TableNode


@cache
def entries() -> Mapping[str, CatalogueEntry]:
    """Return the catalogue by name, in the order of its files.

    Raises
    ------
    ValueError
        If a file is damaged or a name stands twice.
    """
    found: dict[str, CatalogueEntry] = {}
    for file in sorted(resources.files("layout.project.catalogue").iterdir(), key=lambda file: file.name):
        if not file.name.endswith(".yaml"):
            continue
        tree, faults = compose(file.read_text(encoding="utf-8"), BUILT_IN + file.name)
        if faults or not isinstance(tree, TableNode):
            raise ValueError(f"catalogue file {file.name} is damaged: {faults}")
        for one in _entries(tree):
            if one.name in found:
                raise ValueError(f"catalogue entry {one.name} stands twice")
            found[one.name] = one
    return found


def entry(name: str) -> CatalogueEntry | None:
    """Return one entry, or None if the catalogue has none of that name."""
    return entries().get(name)


def _entries(file: TableNode) -> list[CatalogueEntry]:
    devices = file.get("devices")
    if not isinstance(devices, TableNode):
        raise ValueError("a catalogue file needs devices")
    found = []
    for name, member in devices.members.items():
        if not isinstance(member.value, TableNode):
            raise ValueError(f"catalogue entry {name} is no table")
        own = dict(member.value.members)
        words = {word: own.pop(word).value if word in own else file.get(word) for word in ("about", "source", "basis")}
        text = {word: leaf.text if isinstance(leaf, Leaf) else "" for word, leaf in words.items()}
        basis: Literal["read", "memory", "derived"] = "memory"
        if text["basis"] == "read":
            basis = "read"
        elif text["basis"] == "derived":
            basis = "derived"
        keys = TableNode(member.value.at, own)
        found.append(CatalogueEntry(name=name, about=text["about"], source=text["source"], basis=basis, keys=keys))
    return found
