"""A project may be spread over several files below its folder; here they become one tree."""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath

from layout.findings import Finding, Place
from layout.light_dataclass import dataclass, field
from layout.project.reading.as_found_file import found_list
from layout.project.reading.nodes import compose
from layout.project.reading.source import Source, read_source
from layout.project.reading.tree import FileSpot, Items, Leaf, Member, TableNode, Tree

MOST_FILES = 100
LONGEST_PATH = 240
"""Characters of an included file's path; systems take 255 bytes for a name."""
"""Files of one project."""


@dataclass(slots=True)
class Files:
    """What was read: the joined tree (None if the project's own file is unusable), faults, and each file's text."""

    tree: TableNode | None = None
    findings: list[Finding] = field(default_factory=list)
    sources: dict[str, str] = field(default_factory=dict)


def read_files(path: Path) -> Files:
    """Read a project file and everything it includes.

    Files are named from the project's folder, so that messages are the same on every machine. An included file holds
    the same sections as a project; tables are united, lists are joined, and nothing may be said twice. A CSV file is
    an as-found list.
    """
    files = Files()
    folder = path.parent
    root = _read_one(path, path.name, files)
    if root is None:
        return files
    files.tree = _with_includes(root, path.name, folder, (path.name,), files)
    return files


def _read_one(path: Path, name: str, files: Files) -> TableNode | None:
    source = read_source(path, name)
    if not isinstance(source, Source):
        files.findings.append(source)
        return None
    files.sources[name] = source.text
    is_list = name.lower().endswith(".csv")
    tree, findings = found_list(source.text, name) if is_list else compose(source.text, name)
    files.findings.extend(findings)
    if tree is None or isinstance(tree, TableNode):
        return tree
    what = "a list" if isinstance(tree, Items) else "text"
    files.findings.append(
        Finding(
            rule="file 15",
            message=f"'{name}' holds {what}, expected keys such as panels and devices",
            at=_at(tree.at),
            remedy="start from 'spile new'",
        )
    )
    return None


def _with_includes(tree: TableNode, name: str, folder: Path, chain: tuple[str, ...], files: Files) -> TableNode:
    asked = tree.get("include")
    joined = TableNode(tree.at, {key: member for key, member in tree.members.items() if key != "include"})
    for leaf in _names(asked, files):
        target = _target(leaf, name, folder, chain, files)
        if target is None:
            continue
        part = _read_one(folder / target, target, files)
        if part is not None:
            part = _with_includes(part, target, folder, (*chain, target), files)
            joined = _united(joined, part, files)
    return joined


def _names(asked: Tree | None, files: Files) -> list[Leaf]:
    entries = asked.items if isinstance(asked, Items) else () if asked is None else (asked,)
    names = []
    for entry in entries:
        if isinstance(entry, Leaf) and isinstance(entry.value, str):
            names.append(entry)
        else:
            _fault(
                files,
                "file 20",
                entry.at,
                "include takes names of files, found something else",
                "write include: [shelf.yaml]",
            )
    return names


def _target(leaf: Leaf, name: str, folder: Path, chain: tuple[str, ...], files: Files) -> str | None:
    """Return the file's name from the project's folder if it may be read and has not been."""
    wanted = PurePosixPath(leaf.text)
    target = PurePosixPath(name).parent / wanted
    if "\0" in leaf.text or len(str(target)) > LONGEST_PATH:
        shown = leaf.text.replace("\0", "␀")
        shown = shown if len(shown) <= 60 else f"{shown[:60]}…"
        _fault(files, "file 1", leaf.at, f"'{shown}' can be no file's name", "check the path; it is too long or odd")
        return None
    outside = (
        wanted.is_absolute() or ".." in wanted.parts or "\\" in leaf.text or ":" in leaf.text or "~" in wanted.parts[:1]
    )
    if outside or not Path(os.path.realpath(folder / target)).is_relative_to(os.path.realpath(folder)):
        message = f"'{leaf.text}' lies outside the project's folder"
        _fault(files, "file 21", leaf.at, message, "copy the file into the project's folder and name it from there")
        return None
    found = str(target)
    if found in chain:
        way = " -> ".join((*chain[chain.index(found) :], found))
        _fault(files, "file 22", leaf.at, f"'{leaf.text}' includes itself: {way}", "delete one of these includes")
        return None
    if found in files.sources:
        return None
    if not (folder / target).exists():
        _fault(
            files,
            "file 1",
            leaf.at,
            f"there is no file '{found}'",
            "check the path; it counts from the including file's folder",
        )
        return None
    if len(files.sources) >= MOST_FILES:
        _fault(files, "file 23", leaf.at, f"more than {MOST_FILES} files in one project", "join some of them")
        return None
    return found


def _united(first: TableNode, second: TableNode, files: Files) -> TableNode:
    members = dict(first.members)
    for key, member in second.members.items():
        known = members.get(key)
        if known is None:
            members[key] = member
        else:
            members[key] = Member(known.at, _section(key, known, member, files))
    return TableNode(first.at, members)


def _section(key: str, known: Member, more: Member, files: Files) -> Tree:
    if isinstance(known.value, Items) and isinstance(more.value, Items):
        return Items(known.value.at, known.value.items + more.value.items)
    if not (isinstance(known.value, TableNode) and isinstance(more.value, TableNode)):
        _twice(files, f"'{key}' is said in two files", known.at, more.at)
        return known.value
    entries = dict(known.value.members)
    for name, entry in more.value.members.items():
        if name in entries:
            _twice(files, f"'{name}' of {key} is said in two files", entries[name].at, entry.at)
        else:
            entries[name] = entry
    return TableNode(known.value.at, entries)


def _twice(files: Files, message: str, first: FileSpot, second: FileSpot) -> None:
    remedy = "keep one of them, or rename one"
    files.findings.append(
        Finding(rule="file 24", message=message, at=_at(second), related=(_at(first),), remedy=remedy)
    )


def _fault(files: Files, rule: str, spot: FileSpot, message: str, remedy: str) -> None:
    files.findings.append(Finding(rule=rule, message=message, at=_at(spot), remedy=remedy))


def _at(spot: FileSpot) -> Place:
    return Place(spot.file, spot.line, spot.column)
