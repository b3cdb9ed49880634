"""Benchmarks are kept so that two can be compared."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from tests.benchmarks.record import compared, record

if TYPE_CHECKING:
    from pathlib import Path


def test_two_records_are_compared_figure_by_figure(tmp_path: Path) -> None:
    """A figure that doubled says so; a case that is new has nothing to be compared with."""
    first = json.loads(record("wiring", {"250 wires": {"cpu_s": 1.5}}, out=tmp_path).read_text("utf-8"))
    second = {**first, "rows": {"250 wires": {"cpu_s": 3.0}, "500 wires": {"cpu_s": 4.0}}}
    lines = compared(first, second)
    assert lines[1].split() == ["250", "wires", "cpu_s", "1.5", "3.0", "2.00"]
    assert lines[2].split() == ["500", "wires", "cpu_s", "-", "4.0", "-"]
    assert {"cores", "python", "load"} <= set(first["machine"])
