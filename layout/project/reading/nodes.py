"""Text to tree: YAML's structure by the library's event stream, scalars by our own plain rules.

``no``, ``on``, ``12:30`` and ``1e3`` stay text. Numbers are plain decimals, ``true`` and ``false`` truth values;
``null``, ``~`` and nothing at all mean "not given". The tree is built without recursion, so that depth is a limit and
not a crash.
"""

from __future__ import annotations

import re
from typing import Any

import yaml

from layout.findings import Finding, Place
from layout.light_dataclass import dataclass, field
from layout.project.reading.syntax import explained
from layout.project.reading.tree import FileSpot, Items, Leaf, Member, TableNode, Tree

MOST_DEPTH = 40
"""Lists and tables inside one another; a project needs about ten."""
MOST_ENTRIES = 200_000
"""Entries of one file with its aliases written out."""

_INT = re.compile(r"[-+]?(0|[1-9]\d{0,14})")
_FLOAT = re.compile(r"[-+]?(\d{1,15}\.\d*|\.\d+)")
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def compose(text: str, name: str) -> tuple[Tree | None, list[Finding]]:
    """Build the tree of one file.

    Parameters
    ----------
    text
        The file's text.
    name
        What the file is called in messages.

    Returns
    -------
    Tree or None
        None if the text is no usable YAML.
    list of Finding
        Everything found on the way; keys that stand twice leave a tree with the first of them.
    """
    builder = _Builder(name)
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            builder.take(event)
    except _StopError:
        return None, builder.findings
    except yaml.MarkedYAMLError as error:
        return None, [*builder.findings, explained(error, text, name)]
    if builder.root is None:
        builder.fault("file 5", Place(name), f"'{name}' holds nothing but comments", "start from 'spile new'")
    return builder.root, builder.findings


def scalar(text: str, *, plain: bool) -> str | int | float | bool | None:
    """Give the value that a scalar stands for; only plain (unquoted) ones are anything but text."""
    if not plain:
        return text
    if text in ("", "~", "null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    if _INT.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    return text


class _StopError(Exception):
    """The file can't be read any further; the reason is among the findings."""


@dataclass(slots=True)
class _Open:
    """A list or table that is still being read."""

    at: FileSpot
    anchor: str | None
    before: int
    items: list[Tree] | None = None
    members: dict[str, Member] = field(default_factory=dict)
    key: tuple[str, FileSpot] | None = None


class _Builder:
    """Takes the parser's events in turn and grows the tree."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.findings: list[Finding] = []
        self.root: Tree | None = None
        self._open: list[_Open] = []
        self._anchors: dict[str, tuple[Tree, int]] = {}
        self._documents = 0
        self._entries = 0
        self._has_aliases = False

    def fault(self, rule: str, at: Place, message: str, remedy: str | None, *related: Place) -> None:
        self.findings.append(Finding(rule=rule, message=message, at=at, remedy=remedy, related=related))

    def take(self, event: yaml.Event) -> None:
        match event:
            case yaml.DocumentStartEvent():
                self._documents += 1
                if self._documents > 1:
                    self._refuse(
                        "file 8", event, "a second document starts here", "keep one document a file; use include"
                    )
            case yaml.AliasEvent():
                self._alias(event)
            case yaml.ScalarEvent():
                self._scalar(event)
            case yaml.SequenceStartEvent() | yaml.MappingStartEvent():
                self._begin(event)
            case yaml.SequenceEndEvent() | yaml.MappingEndEvent():
                self._end()
            case _:
                pass

    def _spot(self, event: Any) -> FileSpot:
        return FileSpot(self.name, event.start_mark.line + 1, event.start_mark.column + 1)

    def _refuse(self, rule: str, event: Any, message: str, remedy: str) -> None:
        spot = self._spot(event)
        self.fault(rule, Place(spot.file, spot.line, spot.column), message, remedy)
        raise _StopError

    def _alias(self, event: Any) -> None:
        if any(part.anchor == event.anchor for part in self._open):
            message = f"alias '*{event.anchor}' stands inside what it repeats"
            self._refuse("file 10", event, message, "write the entry out")
        if event.anchor not in self._anchors:
            message = f"alias '*{event.anchor}' repeats nothing"
            self._refuse("file 11", event, message, f"mark an entry above with &{event.anchor}")
        self._has_aliases = True
        tree, size = self._anchors[event.anchor]
        self._count(size, event)
        self._add(tree, event)

    def _scalar(self, event: Any) -> None:
        self._check_tag(event)
        self._count(1, event)
        leaf = Leaf(self._spot(event), event.value, scalar(event.value, plain=bool(event.implicit[0])))
        if event.anchor:
            self._anchors[event.anchor] = (leaf, 1)
        self._add(leaf, event)

    def _begin(self, event: Any) -> None:
        self._check_tag(event)
        self._count(1, event)
        if len(self._open) >= MOST_DEPTH:
            message = f"more than {MOST_DEPTH} lists and tables inside one another"
            self._refuse("file 12", event, message, "flatten the file")
        if self._open and self._open[-1].items is None and self._open[-1].key is None:
            self._refuse("file 13", event, "a list or table can't be a key", "write a plain name before the colon")
        is_list = isinstance(event, yaml.SequenceStartEvent)
        self._open.append(_Open(self._spot(event), event.anchor, self._entries, items=[] if is_list else None))

    def _end(self) -> None:
        done = self._open.pop()
        tree: Tree = TableNode(done.at, done.members) if done.items is None else Items(done.at, tuple(done.items))
        if done.anchor:
            self._anchors[done.anchor] = (tree, self._entries - done.before + 1)
        self._add(tree, None)

    def _count(self, entries: int, event: Any) -> None:
        self._entries += entries
        if self._entries > MOST_ENTRIES:
            if self._has_aliases:
                message = f"more than {MOST_ENTRIES} entries with aliases written out"
                self._refuse("file 10", event, message, "use fewer aliases")
            message = f"more than {MOST_ENTRIES} entries in one file"
            self._refuse("file 3", event, message, "split it with include, or check that it is the right file")

    def _add(self, tree: Tree, event: Any) -> None:
        if not self._open:
            self.root = tree
            return
        parent = self._open[-1]
        if parent.items is not None:
            parent.items.append(tree)
        elif parent.key is None:
            self._start_member(tree, event)
        else:
            text, spot = parent.key
            parent.key = None
            parent.members.setdefault(text, Member(spot, tree))

    def _start_member(self, tree: Tree, event: Any) -> None:
        if not isinstance(tree, Leaf) or isinstance(event, yaml.AliasEvent):
            at = Place(tree.at.file, tree.at.line, tree.at.column)
            self.fault("file 13", at, "an alias can't be a key", "write a plain name before the colon")
            raise _StopError
        parent = self._open[-1]
        at = Place(tree.at.file, tree.at.line, tree.at.column)
        if tree.text == "<<":
            self.fault(
                "file 13", at, "the merge key '<<' is not read", "use type, shelf or defaults for what entries share"
            )
            raise _StopError
        if tree.text in parent.members:
            first = parent.members[tree.text].at
            self.fault(
                "file 9",
                at,
                f"the key '{tree.text}' stands twice in this table, first in line {first.line}",
                "rename one of them, or delete it",
                Place(first.file, first.line, first.column),
            )
        parent.key = (tree.text, tree.at)

    def _check_tag(self, event: Any) -> None:
        if event.tag is not None and event.tag != "!":
            self._refuse("file 14", event, f"the tag '{event.tag}' is not read", "delete the tag; write plain values")
