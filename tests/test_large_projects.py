"""Smaller twins of the largest that is promised: the judge allows what is placed, each wire is on the schedule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout import flow
from layout.placing.by_components import Effort
from layout.placing.judge import judge, refusals
from layout.placing.place import place
from layout.project.reading.read import read
from layout.project.register import Register
from tests.large_projects import many_instruments, many_wires

if TYPE_CHECKING:
    from pathlib import Path


def test_sixty_devices_of_four_kinds_all_get_a_place_that_the_judge_allows(tmp_path: Path) -> None:
    """With the quick effort, on one panel."""
    path = tmp_path / "sixty.yaml"
    path.write_text(many_instruments(60, pinned=False, size_mm=(2400, 1400)).partition("wishes:")[0], "utf-8")
    project = read(path).project
    assert project is not None
    placing = place(project, effort=Effort.QUICK)
    assert placing.arrangement is not None
    assert set(placing.arrangement.placed) == set(project.devices)
    assert not refusals(judge(project, placing.arrangement, chosen=None))


def test_every_one_of_six_hundred_wires_has_a_line_of_the_schedule(tmp_path: Path) -> None:
    """300 circuits of two wires, 8 panels of two feeders, and the headings."""
    path = tmp_path / "wires.yaml"
    path.write_text(many_wires(600), "utf-8")
    project = read(path).project
    assert project is not None
    plan = flow.plan(project, None, register=Register())
    flow.hand_over(plan, tmp_path / "out", only=["schedule"])
    lines = (tmp_path / "out" / "csv" / "schedule.csv").read_text("utf-8").splitlines()
    assert len(lines) == 300 * 2 + 8 * 2 + 1
