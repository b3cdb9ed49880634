"""Rebuild a damaged register from what is sound in it and from the copy before, and say what is lost."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.findings import Finding, Place
from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.project import seal
from layout.project.editing.writing import replace_file, write_atomically
from layout.project.register import SEALED_FROM, Register, backup_path, load, parse_register, render

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

ENTRIES = ("numbers", "labels", "issued", "retired")
"""Sections with one entry a line, which are sound or not by themselves."""

WHOLE = ("arrangement", "previous", "proposals")
"""Sections that are sound as a whole or not at all."""

_SECTION = re.compile(r"([a-z_]+):")


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """What repairing gave.

    Attributes
    ----------
    register
        What could be rebuilt; None if nothing was to be done or nothing may be.
    damaged
        Where the damaged file is kept.
    findings
        What is lost or doubtful, as watches; or why nothing was done.
    """

    register: Register | None
    findings: tuple[Finding, ...]
    damaged: Path | None = None


def repair(path: Path) -> Repair:
    """Rebuild a damaged register; the damaged file is kept beside it, under a name of its own.

    Numbers of the last good copy hold against those of the damaged file, for the copy is sealed and the file is not.
    A number that only the damaged file has is taken as it stands there, and told as doubtful.

    Raises
    ------
    OSError
        If the folder can't be read or written; both files are then as they were.
    """
    register, faults = load(path)
    if register is not None or any(fault.rule != "file 80" for fault in faults):
        return Repair(register=None, findings=faults)
    raw = path.read_bytes()
    read, gone = _salvaged(raw.decode("utf-8", errors="replace").lstrip("\ufeff").replace("\r\n", "\n"))
    copy = load(backup_path(path))[0] if backup_path(path).exists() else None
    rebuilt, told = _joined(read, copy or Register())
    at = Place(path.name)
    if copy is None:
        told = ["there is no good copy from before: what was cut off can't be known", *told]
    kept = _unused(path)
    findings = tuple(
        Finding(
            rule="file 84", message=f"the register '{path.name}' was repaired: {line}", at=at,
            remedy="compare the labels on the wires with the schedule before anything is connected",
        )
        for line in (*gone, *told)
    )  # fmt: skip
    replace_file(kept, raw, sure=True)
    write_atomically(path, render(rebuilt))
    return Repair(register=rebuilt, findings=findings, damaged=kept)


def _unused(path: Path) -> Path:
    """Return a name for the damaged file that no other file has."""
    count = 1
    while (kept := path.with_name(f"{path.stem}.damaged-{count}{path.suffix}")).exists():
        count += 1
    return kept


def _salvaged(text: str) -> tuple[Register, list[str]]:
    """Return what is sound in a register's text, and what is not."""
    sections: dict[str, list[str]] = {}
    lines: list[str] = []
    for line in text.split("\n"):
        if section := _SECTION.match(line):
            lines = sections.setdefault(section[1], [])
            lines.extend([line[section.end() :]] if line[section.end() :].strip() else [])
        elif line.strip() and not line.startswith("#"):
            lines.append(line)
    register, gone = Register(), []
    for name in WHOLE:
        if not sections.get(name):
            continue
        part = _part(name, sections[name])
        if part is None:
            gone.append(f"its '{name}' is lost")
        else:
            register = replace(register, **{name: getattr(part, name)})
    for name in ENTRIES:
        sound = _sound(name, sections.get(name, []))
        lost = len(sections.get(name, [])) - sum(len(lines) for lines, _ in sound)
        if lost:
            gone.append(f"{lost} line{'' if lost == 1 else 's'} of '{name}' can't be read")
        parts = [getattr(part, name) for _, part in sound]
        joined: Any = FrozenMap(item for part in parts if name != "retired" for item in part.items())
        joined = sum(parts, ()) if name == "retired" else joined
        register = replace(register, **{name: joined})
    return register, gone


def _part(section: str, lines: Sequence[str]) -> Register | None:
    """Return a register of these lines of one section alone, or None if they are not sound."""
    if not all(sign.isprintable() or sign == "\t" for line in lines for sign in line):
        return None
    body = "\n".join((f"spile_register: {SEALED_FROM}", f"{section}:", *lines)) + "\n"
    return parse_register(seal.with_seal(body), "register")[0]


def _sound(section: str, lines: Sequence[str]) -> list[tuple[Sequence[str], Register]]:
    """Return the longest runs of lines that are sound, found by halving."""
    if not lines:
        return []
    part = _part(section, lines)
    if part is not None:
        return [(lines, part)]
    if len(lines) == 1:
        return []
    half = len(lines) // 2
    return [*_sound(section, lines[:half]), *_sound(section, lines[half:])]


def _joined(read: Register, copy: Register) -> tuple[Register, list[str]]:
    """Join what was read with the last good copy, number for number."""
    told = []
    numbers = dict(copy.numbers)
    taken = {_slot(key, number): key for key, number in numbers.items()}
    doubtful = 0
    for key, number in read.numbers.items():
        if numbers.get(key) == number:
            continue
        owner = key if key in numbers else taken.get(_slot(key, number))
        if owner is not None:
            told.append(f"'{key}' had the number {number} in it, which is not taken: '{owner}' has {numbers[owner]}")
            continue
        numbers[key], taken[_slot(key, number)] = number, key
        doubtful += 1
    if doubtful:
        told.append(f"{doubtful} number{'' if doubtful == 1 else 's'} stood in the damaged file alone")
    if copy.arrangement is not None and read.arrangement not in (None, copy.arrangement):
        told.append("its arrangement is not that of the last good copy; 'spile undo' brings that one back")
    previous = read.previous or copy.previous
    if copy.arrangement is not None and read.arrangement not in (None, copy.arrangement):
        previous = (*(one for one in previous if one != copy.arrangement), copy.arrangement)
    return Register(
        numbers=FrozenMap(sorted(numbers.items())),
        retired=tuple(sorted({*copy.retired, *read.retired} & set(numbers))),
        labels=FrozenMap(sorted(_longer(copy.labels, read.labels).items())),
        arrangement=read.arrangement or copy.arrangement,
        previous=previous,
        proposals=read.proposals or copy.proposals,
        issued=FrozenMap({**copy.issued, **read.issued}),
    ), told


def _slot(key: str, number: int) -> tuple[str, int]:
    """Return what no two numbers may have in common: a segment's owner, and the number."""
    owner, mark, _ = key.partition(":")
    return (owner if mark else "", number)


def _longer(some: Mapping[str, tuple[str, ...]], others: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    return {key: max(some.get(key, ()), others.get(key, ()), key=len) for key in {**some, **others}}
