"""Measured lengths and drops, read back from the filled test sheet and held against what was worked out.

Drop is compared in proportion: the wire's resistance (drop / amperes) is what was really measured.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding, Place
from layout.handover.lists.filled_in import FilledIn
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layout.wiring.result import Run, Wiring

LONGER_SHARE = 0.05
"""A wire may be this much longer than worked out before it is said. Common practice, no single source."""
HIGHER_SHARE = 0.15
"""Likewise for the drop: cold or warm copper and the meter account for so much."""
LOWER_SHARE = 0.35


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredRun:
    """What was measured on one run; None is not measured. ``at`` is where it was written."""

    wire: str
    length_m: float | None = None
    drop_v: float | None = None
    current_a: float | None = None
    at: Place = field(default_factory=Place)


_NUMBERS = {"measured_length_m": "length_m", "measured_a": "current_a", "measured_drop_v": "drop_v"}
TITLES = {
    "wire": "Wire",
    "measured_length_m": "Length (m found)",
    "measured_a": "At (A found)",
    "measured_drop_v": "Drop (V found)",
}
"""Headings of the test sheet's columns that are read, by key."""


def read_measured(text: str, *, name: str = "") -> tuple[tuple[MeasuredRun, ...], tuple[Finding, ...]]:
    """Read a filled test sheet (CSV with comma or semicolon).

    Parameters
    ----------
    text
        Content of the file; a decimal comma is taken where the columns are divided by semicolons.
    name
        Name of the file, for findings.

    Returns
    -------
    Rows in which something was filled in, and what could not be read.
    """
    filled = FilledIn.read(text, TITLES)
    if lacks := filled.lacks(("wire", *_NUMBERS)):
        remedy = "fill in the CSV of the test sheet as it is"
        return (), (Finding(rule="paper 4", message=lacks, at=Place(name), remedy=remedy),)
    found: list[MeasuredRun] = []
    faults: list[Finding] = []
    for line, row in filled.rows:
        at = Place(name, line, 1, (row["wire"] or "").strip())
        values: dict[str, float | None] = {}
        for key, name_in in _NUMBERS.items():
            written = (row[key] or "").strip()
            values[name_in] = filled.number(written)
            if written and values[name_in] is None:
                words = f"wire {at.key}: '{written}' in {key} is no number of 0 or more"
                faults.append(
                    Finding(
                        rule="paper 4", message=words, at=at, remedy="write a plain number like 0.12, without a unit"
                    )
                )
        if any(value is not None for value in values.values()):
            found.append(MeasuredRun(wire=at.key, at=at, **values))
    return tuple(found), tuple(faults)


def runs_by_number(wiring: Wiring) -> dict[str, Run]:
    """Return each run by its own number and by those of its wires."""
    runs = {run.number: run for run in wiring.runs}
    return runs | {wire.number: run for run in wiring.runs for wire in run.wires if wire.number not in runs}


def meant_numbers(written: str, runs: Mapping[str, Run]) -> tuple[str, ...]:
    """Return the numbers that a written one stands for: itself, else one for each run it is the beginning of.

    ``022`` stands for ``022a+``, but ``02`` doesn't: digits go on in no beginning.
    """
    if written in runs:
        return (written,)
    begun = {
        run.key: number
        for number, run in sorted(runs.items(), reverse=True)
        if written and number.startswith(written) and not number[len(written) :][:1].isdigit()
    }
    return tuple(sorted(begun.values()))


def compare_measured(wiring: Wiring, measured: Iterable[MeasuredRun]) -> tuple[Finding, ...]:
    """Return what measured values say about the wires, in the order measured.

    A wire that was measured and agrees gives no finding.
    """
    runs = runs_by_number(wiring)
    found: list[Finding] = []
    for one in measured:
        meant = meant_numbers(one.wire, runs)
        if len(meant) > 1:
            message = f"wire {one.wire} was measured, but it has {len(meant)} parts"
            remedy = f"say which: {', '.join(meant)}"
            found.append(Finding(rule="paper 3", message=message, at=one.at, remedy=remedy))
            continue
        run = runs[meant[0]] if meant else None
        if run is None:
            message = f"wire {one.wire} was measured, but the schedule has no such wire"
            found.append(Finding(rule="paper 3", message=message, at=one.at, remedy="compare with the newest schedule"))
            continue
        found += [*_length(run, one), *_drop(run, one)]
    return tuple(found)


def _length(run: Run, one: MeasuredRun) -> Iterator[Finding]:
    if one.length_m is None or run.length.total_mm is None:
        return
    planned = run.length.total_mm / 1000
    if one.length_m > planned * (1 + LONGER_SHARE):
        yield Finding(
            rule="paper 5", at=one.at, subjects=(f"runs.{run.key}",), measured=one.length_m, limit=planned, unit="m",
            message=f"wire {run.number} measures {one.length_m:.2f} m, worked out were {planned:.2f} m",
            remedy="write the measured length into the project and build again",
        )  # fmt: skip
    elif one.length_m < planned * (1 - LOWER_SHARE):
        yield Finding(
            rule="paper 10", at=one.at, subjects=(f"runs.{run.key}",), measured=one.length_m, limit=planned, unit="m",
            message=f"wire {run.number} measures {one.length_m:.2f} m, worked out were {planned:.2f} m",
        )  # fmt: skip


def _drop(run: Run, one: MeasuredRun) -> Iterator[Finding]:
    if one.drop_v is None:
        return
    if not one.current_a:
        yield Finding(
            rule="paper 8", at=one.at, subjects=(f"runs.{run.key}",),
            message=f"wire {run.number} has a drop of {one.drop_v:g} V without the amperes at that time",
            remedy="measure again and write the amperes beside it",
        )  # fmt: skip
        return
    if run.ohm is None or run.current_a is None:
        return
    at_design = one.drop_v / one.current_a * run.current_a
    planned = run.ohm * run.current_a
    facts = (
        f"wire {run.number} drops {one.drop_v:.3f} V at {one.current_a:g} A, which is {at_design:.3f} V at its design "
        f"current of {run.current_a:g} A"
    )
    rest = 0.0 if run.cumulative_v is None or run.drop_v is None else run.cumulative_v - run.drop_v
    if run.limit_percent is not None and run.nominal_v is not None:
        limit = run.limit_percent / 100 * run.nominal_v
        if at_design + rest > limit * (1 + 1e-9):
            yield Finding(
                rule="paper 6", at=one.at, subjects=(f"runs.{run.key}",), measured=at_design + rest, limit=limit,
                unit="V", message=f"{facts}; with {rest:.3f} V before it that is over its limit of {limit:.3f} V",
                remedy="look for a bad crimp or loose stud; else take the next size up",
            )  # fmt: skip
            return
    if at_design > planned * (1 + HIGHER_SHARE):
        yield Finding(
            rule="paper 7", at=one.at, subjects=(f"runs.{run.key}",), measured=at_design, limit=planned, unit="V",
            message=f"{facts}; worked out were {planned:.3f} V",
            remedy="look for a bad crimp, a loose stud, a thinner wire",
        )  # fmt: skip
    elif at_design < planned * (1 - LOWER_SHARE):
        yield Finding(
            rule="paper 9", at=one.at, subjects=(f"runs.{run.key}",), measured=at_design, limit=planned, unit="V",
            message=f"{facts}; worked out were {planned:.3f} V", remedy="check how the amperes were read",
        )  # fmt: skip
