"""Wire numbers: given once, kept for life, never used again after a wire is gone.

The register holds a number for each circuit or feeder (``circuits.bilge``) and one for each of its segments
(``circuits.bilge:float``). Both only grow: a key that has gone keeps its entry.
"""

from __future__ import annotations

import string
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True, slots=True)
class Numbers:
    """Numbers by key, old and new."""

    taken: Mapping[str, int] = field(default_factory=dict)

    def of(self, key: str) -> int:
        """Return the number of an owner, or the segment number of ``owner:segment``.

        Raises
        ------
        KeyError
            If the key was never given one.
        """
        return self.taken[key]


def assign_numbers(keys: Iterable[str], known: Mapping[str, int]) -> Numbers:
    """Give every key a number; what is known stays as it is.

    Parameters
    ----------
    keys
        Segment keys ``owner`` or ``owner:segment``, in the order in which new ones are numbered.
    known
        From the register; keys that are gone stay, so that their numbers are not used again.

    Raises
    ------
    ValueError
        If two owners, or two segments of one owner, have the same number in the register.
    """
    taken = dict(known)
    _refuse_twins(taken)
    last_owner = max((number for key, number in taken.items() if ":" not in key), default=0)
    last_segment: dict[str, int] = {}
    for key, number in taken.items():
        owner, mark, _ = key.partition(":")
        if mark:
            last_segment[owner] = max(last_segment.get(owner, number), number)
    for key in keys:
        owner, mark, _ = key.partition(":")
        if owner not in taken:
            last_owner += 1
            taken[owner] = last_owner
        full = key if mark else f"{owner}:"
        if full not in taken:
            last_segment[owner] = last_segment.get(owner, 0) + 1
            taken[full] = last_segment[owner]
    return Numbers(dict(sorted(taken.items())))


def _refuse_twins(taken: Mapping[str, int]) -> None:
    seen: dict[tuple[str, int], str] = {}
    for key, number in sorted(taken.items()):
        owner, mark, _ = key.partition(":")
        slot = (owner if mark else "", number)
        if slot in seen:
            raise ValueError(f"the register gives {key} and {seen[slot]} the same number {number}")
        seen[slot] = key


def segment_letters(number: int) -> str:
    """Return a segment's number in letters: 1 is a, 26 z, 27 aa."""
    letters = ""
    while number > 0:
        number, rest = divmod(number - 1, 26)
        letters = string.ascii_lowercase[rest] + letters
    return letters


DEFAULT_PATTERN = "{circuit:03d}{segment}{pole}"
"""Stands in for a pattern that can't be used."""
FIELDS = ("circuit", "segment", "pole", "core")
SUFFIXES = {"switched": "S", "sense": "V", "bond": "B", "data": "D", "antenna": "A"}
"""Short marks of poles that are words; +, -, L, N and PE stand as they are."""


def pattern_fault(pattern: str) -> str | None:
    """Return why a pattern can't be used, or None."""
    try:
        format_number(pattern, circuit=1, segment=1, pole="+", core=None)
    except ValueError as error:
        return str(error)
    return None


def format_number(pattern: str, *, circuit: int, segment: int, pole: str, core: int | None) -> str:
    """Return a wire number by the project's pattern.

    Parameters
    ----------
    pattern
        Fields ``{circuit}`` (number), ``{segment}`` (letters), ``{pole}`` and ``{core}``; the core number of a
        multicore is added with a point where the pattern has no ``{core}``.

    Raises
    ------
    ValueError
        If the pattern has another field, or none that tells two circuits apart.
    """
    try:
        text = pattern.format(
            circuit=circuit,
            segment=segment_letters(segment),
            pole=SUFFIXES.get(pole, pole),
            core="" if core is None else core,
        )
    except (KeyError, IndexError, ValueError) as error:
        fields = ", ".join(FIELDS)
        raise ValueError(f"number_pattern '{pattern}' can't be used ({error}); fields are {fields}") from None
    missing = [name for name in FIELDS[:3] if "{" + name not in pattern]
    if missing:
        raise ValueError(f"number_pattern '{pattern}' lacks {', '.join(missing)}; two wires would get one number")
    if core is not None and "{core" not in pattern:
        text += f".{core}"
    return text
