"""Gather every word from where it is defined: tables, catalogue, model; nothing is written here a second time."""

from __future__ import annotations

import inspect
from dataclasses import MISSING, fields
from functools import cache
from typing import TYPE_CHECKING, Any, Literal, get_args

from layout.findings import area, meanings, mends, retired, rules
from layout.light_dataclass import dataclass
from layout.placing.rule_table import hard_rules
from layout.project.catalogue import entries
from layout.project.model.project_file import ProjectFile
from layout.project.model.wishes import WishKind
from layout.project.reading import spec
from layout.project.reading.doctext import attribute_texts
from layout.quantity import EXAMPLES, Number, QuantityKind, WireSize
from layout.standards.purposes import listed_purposes, purpose
from layout.standards.tables import Practice
from layout.standards.voltage_drop import Criticality, drop_limit_percent

if TYPE_CHECKING:
    from collections.abc import Iterator

WordKind = Literal["purposes", "types", "rules", "keys", "findings"]
KINDS: tuple[WordKind, ...] = get_args(WordKind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One word of the vocabulary.

    Attributes
    ----------
    word
        As it is written; a key stands behind the record it belongs to: ``Circuit.purpose``.
    says
        What it means, in a sentence.
    facts
        What else is known of it, in the order it is told: default, range, source.
    """

    kind: WordKind
    word: str
    says: str
    facts: tuple[tuple[str, str], ...] = ()


@cache
def words(kind: WordKind) -> tuple[Word, ...]:
    """Return all words of one kind, in the order of their tables."""
    gathered = {"purposes": _purposes, "types": _types, "rules": _rules, "keys": _keys, "findings": _findings}
    return tuple(gathered[kind]())


def _purposes() -> Iterator[Word]:
    for name in listed_purposes():
        said = ", ".join(f"{_limit(name, practice):g} % by {practice.value}" for practice in Practice)
        facts = (("key", "circuits.NAME.purpose"), ("stands beside", purpose(name, Practice.ISO).group))
        yield Word(kind="purposes", word=name, says=f"On DC the voltage may fall by {said}.", facts=facts)


def _limit(name: str, practice: Practice) -> float:
    critical = purpose(name, practice).critical
    return drop_limit_percent(Criticality.CRITICAL if critical else Criticality.NON_CRITICAL)


def _types() -> Iterator[Word]:
    for name, entry in entries().items():
        facts = (("source", entry.source), ("figures", {"read": "read in the source", "memory": "from memory"}.get(
            entry.basis, "derived")))  # fmt: skip
        yield Word(kind="types", word=name, says=_sentence(entry.about), facts=facts)


def _rules() -> Iterator[Word]:
    for rule in hard_rules().values():
        facts = [("applies to", rule.applies), ("why", rule.why), ("source", rule.source)]
        if rule.limit:
            facts.insert(0, ("key", f"rules.{rule.limit}"))
        if rule.default_mm is not None:
            facts.insert(0, ("default", f"{rule.default_mm:g} mm"))
        facts.append(("findings", ", ".join(rule.findings)))
        yield Word(kind="rules", word=rule.name, says=_sentence(rule.says), facts=tuple(facts))
    for wish in get_args(WishKind):
        yield Word(kind="rules", word=wish, says="A wish: it costs something where it is not met.",
                   facts=(("key", "wishes.wanted"), ("example", f"wish: {wish}")))  # fmt: skip


def _findings() -> Iterator[Word]:
    for code, row in rules().items():
        facts = (("weight", row.severity.value), ("area", area(code)), ("mend", mends()[code]), ("source", row.source))
        yield Word(kind="findings", word=code, says=f"{meanings()[code]} {row.why}", facts=facts)
    for code, gone in retired().items():
        says = f"{gone.name.replace('-', ' ')}: out of use. In its place: {gone.instead}."
        yield Word(kind="findings", word=code, says=says)


def _keys() -> Iterator[Word]:
    for path, record in records().items():
        texts = attribute_texts(record)
        defaults = {field.name: field for field in fields(record)}
        for key, (name, kind) in spec.written_keys(record).items():
            facts = [("stands in", path or "the file itself"), ("takes", spec.expected(kind))]
            if limits := _range(kind):
                facts.append(("range", limits))
            facts.append(("default", _default(defaults[name], kind) if name in defaults else "left out"))
            facts.append(("example", f"{key}: {_example(kind)}"))
            yield Word(kind="keys", word=f"{record.__name__}.{key}", says=texts.get(name, ""), facts=tuple(facts))


@cache
def records() -> dict[str, type]:
    """Return every record of the file by the first path it stands at, from the file itself down."""
    reached: dict[type, str] = {ProjectFile: ""}
    queue: list[type] = [ProjectFile]
    for record in queue:
        for key, (_, kind) in spec.keys(record).items():
            path = f"{reached[record]}.{key}".lstrip(".")
            for inner, step in _inside(kind):
                if inner not in reached:
                    reached[inner] = path + step
                    queue.append(inner)
    return {path: record for record, path in reached.items()}


def _inside(kind: Any) -> Iterator[tuple[type, str]]:
    for choice in spec.choices(kind):
        if isinstance(choice, type) and spec.record(choice) is not None:
            yield choice, ""
        elif (value := spec.mapped(choice)) is not None:
            yield from ((inner, f".NAME{step}") for inner, step in _inside(value))
        elif (items := spec.listed(choice)) is not None:
            yield from ((inner, step) for item in items[0] for inner, step in _inside(item))


def _range(kind: Any) -> str:
    bounds = (mark for choice in spec.choices(kind) for mark in spec.marks(choice))
    said = (
        mark.in_words(mark.unit if isinstance(mark, QuantityKind) else "")
        for mark in bounds
        if isinstance(mark, QuantityKind | Number)
    )
    return " or ".join(dict.fromkeys(words for words in said if words))


def _default(field: Any, kind: Any) -> str:
    if field.default is MISSING and field.default_factory is MISSING:
        return "none: it must be said"
    if field.default is MISSING or field.default in (None, (), ""):
        return "left out"
    mark = next((m for c in spec.choices(kind) for m in spec.marks(c) if isinstance(m, QuantityKind)), None)
    if isinstance(field.default, bool):
        return "true" if field.default else "false"
    if mark is not None and isinstance(field.default, float | int):
        return f"{100 * field.default:g} %" if mark.unit == "%" else f"{field.default:g} {mark.unit}"
    return str(field.default)


def _example(kind: Any) -> str:
    choice = spec.choices(kind)[0]
    mark = next((mark for mark in spec.marks(choice) if isinstance(mark, QuantityKind)), None)
    if mark is not None:
        return EXAMPLES[mark.name].partition(" or ")[0]
    if offered := spec.spec_words(choice):
        return offered[0]
    if choice is WireSize:
        return "2.5 mm2"
    if choice is bool:
        return "true"
    if (inner := spec.record(choice)) is not None:
        taken = spec.needed(inner) or tuple(spec.keys(inner))[:1]
        return "{" + ", ".join(f"{key}: …" for key in taken) + "}"
    if (value := spec.mapped(choice)) is not None:
        return "{NAME: " + _example(value) + "}"
    if (items := spec.listed(choice)) is not None:
        return "[" + ", ".join(_example(item) for item in items[0]) + "]"
    if spec.is_text(choice):
        return "TEXT"
    low = next((mark.least for mark in spec.marks(choice) if isinstance(mark, Number)), None)
    return f"{low:g}" if low else "1"


def _sentence(text: str) -> str:
    joined = inspect.cleandoc(text).replace("\n", " ").strip()
    return joined[:1].upper() + joined[1:] + ("" if joined.endswith(".") else ".")
