"""The file of measured values beside a project: one row a wire, what was measured last counts."""

from __future__ import annotations

import csv
from dataclasses import fields, replace
from io import StringIO
from typing import TYPE_CHECKING

from layout.handover.files.measured_values import MeasuredRun
from layout.project.editing.writing import write_atomically
from layout.quantity import QuantityError, parse

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

HEADS = ("wire", "measured_length_m", "measured_a", "measured_drop_v")


def measured_path(project: Path) -> Path:
    """Return where a project's measured values lie: ``launch.yaml`` has ``launch.measured.csv`` beside it."""
    return project.with_name(f"{project.stem}.measured.csv")


def from_words(wire: str, words: Sequence[str]) -> MeasuredRun:
    """Read what was measured on one wire: a length, a drop, the amperes at that time, each with its unit.

    Raises
    ------
    QuantityError
        If a word is none of the three.
    """
    found: dict[str, float] = {}
    for word in words:
        for kind, name, factor in (
            ("length", "length_m", 0.001),
            ("voltage", "drop_v", 1.0),
            ("current", "current_a", 1.0),
        ):
            try:
                value = parse(word, kind)
            except QuantityError:
                continue
            if value < 0:
                raise QuantityError(f"expected a {kind} of 0 or more, found '{word}'")
            found[name] = value * factor
            break
        else:
            raise QuantityError(f"expected a length, a drop or a current like 4.2 m, 0.31 V or 6 A, found '{word}'")
    return MeasuredRun(
        wire=wire, length_m=found.get("length_m"), drop_v=found.get("drop_v"), current_a=found.get("current_a")
    )


def merged_rows(before: Iterable[MeasuredRun], new: Iterable[MeasuredRun]) -> tuple[MeasuredRun, ...]:
    """Return all values by wire; a new value takes the place of an older one of the same kind."""
    rows: dict[str, MeasuredRun] = {}
    for one in (*before, *new):
        old = rows.get(one.wire)
        said = {f.name: getattr(one, f.name) for f in fields(one) if f.name not in ("wire", "at")}
        rows[one.wire] = one if old is None else replace(old, **{k: v for k, v in said.items() if v is not None})
    return tuple(rows[wire] for wire in sorted(rows))


def save_measured(path: Path, values: Iterable[MeasuredRun]) -> None:
    """Write the file in one step.

    Raises
    ------
    OSError
        If it can't be written; the old one is as it was.
    """
    stream = StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(HEADS)
    for one in values:
        cells = (one.length_m, one.current_a, one.drop_v)
        writer.writerow([one.wire, *("" if value is None else f"{value:.6g}" for value in cells)])
    write_atomically(path, stream.getvalue())
