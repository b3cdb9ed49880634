"""The register: what spile must remember between two builds. Machine-written, beside the project, never guessed.

It holds the wire numbers (those of wires that have gone too, so that none is used again), the label texts each wire has
had, and the chosen arrangement. A damaged or newer register is reported and never overwritten.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, replace
from pathlib import PurePath
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

from layout.findings import Finding, Place
from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project import seal
from layout.project.editing.flowtext import flow
from layout.project.editing.flowtext import flow_text as key_text
from layout.project.editing.writing import write_atomically
from layout.project.issued import issued_fault
from layout.project.model.arrangement import Arrangement  # noqa: TC001  (the reader reads the annotation)
from layout.project.model.edge import TextMark
from layout.project.reading.build import Builder
from layout.project.reading.nodes import compose
from layout.project.reading.source import Source, read_source
from layout.project.reading.tree import Leaf, TableNode, Tree, file_place
from layout.quantity import Number

if TYPE_CHECKING:
    from pathlib import Path

    from layout.project.model.arrangement import Placed

P = TypeVar("P", bound=PurePath)
T = TypeVar("T")

PREVIOUS = 5
"""How many arrangements from before are kept."""

SEALED_FROM = 2
"""Version from which on a register ends with a seal."""

VERSION = 2
"""Version of the register's form that this program writes."""

_WireNumber = Annotated[int, Number(least=1, most=999_999)]
Label = Annotated[str, TextMark(most=2000)]
State = Annotated[str, TextMark(most=10_000_000, has_lines=True)]

_HEAD = (
    "# Written by spile: wire numbers and the chosen arrangement. Keep it with the project; don't edit it by hand.\n"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Register:
    """What is remembered.

    Attributes
    ----------
    numbers
        Number of every circuit, feeder and segment that ever was, by stable key (``circuits.bilge``,
        ``circuits.bilge:float``).
    retired
        Those of the keys that the project no longer has; their numbers stay taken.
    labels
        Label texts by key, oldest first; the last one is on the wire.
    arrangement
        The chosen one, None before the first placing.
    previous
        Those that were chosen before, oldest first, the last few; ``spile undo`` brings one back.
    proposals
        Arrangements of the last placing that were not chosen; ``spile choose`` takes one by its number, from 1.
    issued
        What each revision handed over, by revision in the order of issue, as JSON text.
    """

    numbers: Mapping[str, _WireNumber] = field(default_factory=FrozenMap)
    retired: tuple[str, ...] = ()
    labels: Mapping[str, tuple[Label, ...]] = field(default_factory=FrozenMap)
    arrangement: Arrangement | None = None
    previous: tuple[Arrangement, ...] = ()
    proposals: tuple[Arrangement, ...] = ()
    issued: Mapping[str, State] = field(default_factory=FrozenMap)

    def with_numbers(self, numbers: Mapping[str, int], *, in_use: Iterable[str]) -> Register:
        """Return the register with these numbers; keys outside ``in_use`` are retired.

        Raises
        ------
        ValueError
            If a known number would change or be forgotten: numbers are for life.
        """
        for key, number in self.numbers.items():
            if numbers.get(key) != number:
                raise ValueError(f"the number {number} of {key} would be lost; the register only grows")
        used = set(in_use)
        retired = tuple(sorted(key for key in numbers if key not in used))
        return replace(self, numbers=FrozenMap(sorted(numbers.items())), retired=retired)

    def with_labels(self, labels: Mapping[str, str]) -> Register:
        """Return the register with the label texts that are on the wires now added to those before."""
        kept = dict(self.labels)
        for key, label in labels.items():
            before = kept.get(key, ())
            if before[-1:] != (label,):
                kept[key] = (*before, label)
        return replace(self, labels=FrozenMap(sorted(kept.items())))

    def with_arrangement(self, arrangement: Arrangement) -> Register:
        """Return the register with another chosen arrangement."""
        before = () if self.arrangement is None else (self.arrangement,)
        # as it will be read back, so that nothing hangs on the order
        chosen = replace(
            arrangement, placed=_in_order(arrangement.placed), rooms=_in_order(arrangement.rooms),
            by_wish=_in_order(arrangement.by_wish), made_of=_in_order(arrangement.made_of),
        )  # fmt: skip
        if before == (chosen,):
            return self
        return replace(self, arrangement=chosen, previous=(*self.previous, *before)[-PREVIOUS:])

    def before(self) -> Register | None:
        """Return the register with the arrangement that was chosen before; None if none is kept."""
        if not self.previous:
            return None
        return replace(self, arrangement=self.previous[-1], previous=self.previous[:-1])

    def with_proposals(self, proposals: Iterable[Arrangement]) -> Register:
        """Return the register with the arrangements of a new placing, in place of those of the one before."""
        return replace(self, proposals=tuple(proposals))

    def with_issue(self, revision: str, state: str) -> Register:
        """Return the register with what a revision hands over, in place of an earlier state of the same revision."""
        return replace(self, issued=FrozenMap({**self.issued, revision: state}))

    def issued_before(self, revision: str) -> str | None:
        """Return what the last revision other than this one handed over, or None if there is none."""
        others = [state for issued, state in self.issued.items() if issued != revision]
        return others[-1] if others else None


def register_path(project: Path) -> Path:
    """Return where the register of a project file lies: ``launch.yaml`` has ``launch.register.yaml`` beside it."""
    return project.with_name(f"{project.stem}.register.yaml")


def load(path: Path) -> tuple[Register | None, tuple[Finding, ...]]:
    """Read a register.

    Returns
    -------
    Register or None
        An empty one if there is no file yet; None if there is one that can't be used.
    tuple of Finding
        Why it can't be used.
    """
    if not path.exists():
        return Register(), ()
    source = read_source(path, path.name)
    if not isinstance(source, Source):
        return None, (_damaged(source.message, source.at),)
    return parse_register(source.text, path.name)


def parse_register(text: str, name: str) -> tuple[Register | None, tuple[Finding, ...]]:
    """Read a register's text; see ``load``."""
    tree, faults = compose(text, name)
    if faults or not isinstance(tree, TableNode):
        found = [(fault.message, fault.at) for fault in faults] or [("it holds no table", Place(name))]
        return None, tuple(_damaged(why, at) for why, at in found)
    version = tree.get("spile_register")
    if not isinstance(version, Leaf) or not isinstance(version.value, int) or isinstance(version.value, bool):
        return None, (
            _damaged("it does not say its version (spile_register)", file_place(tree, ("spile_register",))[0]),
        )
    if version.value < 1:
        return None, (_damaged(f"there is no version {version.value}", file_place(tree, ("spile_register",))[0]),)
    if version.value > VERSION:
        return None, (
            Finding(
                rule="file 81",
                message=f"the register '{name}' has version {version.value}; this program knows up to {VERSION}",
                at=file_place(tree, ("spile_register",))[0],
                remedy="use the newer program that wrote it",
                measured=float(version.value),
                limit=float(VERSION),
            ),
        )
    if version.value >= SEALED_FROM and (why := seal.seal_broken(text)) is not None:
        return None, (_damaged(why, Place(name, len(text.splitlines()), 1)),)
    about = {"spile_register", seal.KEY}
    return _typed(TableNode(tree.at, {key: member for key, member in tree.members.items() if key not in about}))


def backup_path(path: P) -> P:
    """Return where the last good register is kept when a new one is written."""
    return path.with_name(f"{path.stem}.last{path.suffix}")


def save(path: Path, register: Register, *, known: Register | None = None) -> tuple[Finding, ...]:
    """Write a register in one step, and keep the one before beside it; an unchanged one is not touched.

    Parameters
    ----------
    known
        The register that the new one was made from; if another command has written meanwhile, nothing is.

    Returns
    -------
    tuple of Finding
        Empty when it is on disk; else why not, and the old file is as it was.
    """
    before, faults = load(path)
    if before is None:
        return faults
    if path.exists() and before == register:
        return ()
    if known is not None and before != known:
        message = f"another command has written the register '{path.name}' since this one read it; nothing is written"
        return (Finding(rule="file 83", message=message, at=Place(path.name), remedy="run the command once more"),)
    try:
        if path.exists():
            write_atomically(backup_path(path), path.read_text(encoding="utf-8"))
        write_atomically(path, render(register))
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        message = f"the register '{path.name}' can't be written: {reason}"
        return (Finding(rule="file 82", message=message, at=Place(path.name), remedy="check the folder's rights"),)
    return ()


def render(register: Register) -> str:
    """Return the register as text: sorted, one entry a line, the same for the same content."""
    lines = [_HEAD + f"spile_register: {VERSION}"]
    if register.arrangement is not None:
        lines += ["arrangement:", *(f"  {line}" for line in _arrangement(register.arrangement))]
    for section, arrangements in (("previous", register.previous), ("proposals", register.proposals)):
        if arrangements:
            lines.append(f"{section}:")
        for arrangement in arrangements:
            first, *rest = _arrangement(arrangement)
            lines += [f"  - {first}", *(f"    {line}" for line in rest)]
    for section in ("numbers", "labels"):
        entries = getattr(register, section)
        if entries:
            lines.append(f"{section}:")
            lines.extend(f"  {key_text(key)}: {flow(entry)}" for key, entry in sorted(entries.items()))
    if register.issued:
        lines.append("issued:")
        lines.extend(f"  {key_text(revision)}: {flow(state)}" for revision, state in register.issued.items())
    if register.retired:
        lines.append("retired:")
        lines.extend(f"  - {flow(key)}" for key in sorted(register.retired))
    return seal.with_seal("\n".join(lines) + "\n")


def _typed(tree: TableNode) -> tuple[Register | None, tuple[Finding, ...]]:
    builder = Builder(tree)
    register = builder.build(Register)
    found = builder.findings
    if register is not None:
        found += [*_twins(tree, register), *_unreadable_states(tree, register)]
    if found:
        return None, tuple(_damaged(fault.message, fault.at) for fault in found)
    return register, ()


def _twins(tree: Tree, register: Register) -> list[Finding]:
    """Find numbers that two owners, or two segments of one owner, have in common."""
    seen: dict[tuple[str, int], str] = {}
    found = []
    for key, number in register.numbers.items():
        owner, mark, _ = key.partition(":")
        slot = (owner if mark else "", number)
        if slot in seen:
            at = file_place(tree, ("numbers", key))[0]
            message = f"'{key}' has the number {number} of '{seen[slot]}'"
            found.append(Finding(rule="file 80", message=message, at=at))
        seen.setdefault(slot, key)
    return found


def _unreadable_states(tree: Tree, register: Register) -> Iterator[Finding]:
    """Find issued states that a later revision could not be compared with."""
    for revision, state in register.issued.items():
        if (why := issued_fault(state)) is not None:
            at = file_place(tree, ("issued", revision))[0]
            yield Finding(rule="file 80", message=f"what revision '{revision}' issued can't be read: {why}", at=at)


def _arrangement(arrangement: Arrangement) -> list[str]:
    """Return an arrangement line by line, its positions last."""
    blocks = ("made_of", "rooms", "placed")
    told = {one.name: getattr(arrangement, one.name) for one in fields(arrangement) if one.name not in blocks}
    lines = [f"{name}: {flow(_sorted(value))}" for name, value in told.items() if value is not None]
    if arrangement.made_of:
        lines.append("made_of:")
        lines.extend(f"  {key_text(key)}: {flow(mark)}" for key, mark in sorted(arrangement.made_of.items()))
    if arrangement.rooms:
        lines += ["rooms:", *_places(arrangement.rooms)]
    lines += ["placed:" if arrangement.placed else "placed: {}", *_places(arrangement.placed)]
    return lines


def _places(places: Mapping[str, Placed]) -> list[str]:
    return [
        f"  {key_text(name)}: {flow({one.name: getattr(placed, one.name) for one in fields(placed)})}"
        for name, placed in sorted(places.items())
    ]


def _in_order(mapping: Mapping[str, T]) -> FrozenMap[str, T]:
    return FrozenMap(sorted(mapping.items()))


def _sorted(value: Any) -> Any:
    return dict(sorted(value.items())) if isinstance(value, Mapping) else value


def _damaged(why: str, at: Place) -> Finding:
    name = at.file
    return Finding(
        rule="file 80",
        message=f"the register '{name}' is damaged: {why}",
        at=at,
        remedy=f"run spile repair: it joins what is sound with the last copy, '{backup_path(PurePath(name)).name}'",
    )
