"""The examples: the good ones build without an error, the faulty ones have the faults they are there for."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING, Any

import pytest

import layout
from layout.findings import has_stops
from layout.wiring.wire import wire
from tests.conftest import EXAMPLES, REMEMBERED
from tests.running import spile
from tests.wiring.arranged import spread_out

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built

PROJECTS = sorted(
    file.relative_to(EXAMPLES).as_posix()
    for file in EXAMPLES.rglob("*.yaml")
    if "\nspile: " in file.read_text(encoding="utf-8")
)
"""Files that are a project and not a part of one."""


def as_placed(launch: Built, name: str, folder: Path) -> Path:
    """Return a variant of the launch with the launch's register, so that its devices stand where the launch's do."""
    launch.copy(folder)
    shutil.copy(launch.register, folder / f"{name}.register.yaml")
    return folder / f"{name}.yaml"


def said(findings: list[dict[str, Any]]) -> set[tuple[str, str, str]]:
    """Return severity, rule and message of findings."""
    return {(one["severity"], one["rule"], one["message"]) for one in findings}


def test_every_file_is_an_example_or_part_of_one() -> None:
    """Nothing in examples/ lies about unused: each file is a project or included by one."""
    used = set(PROJECTS)
    for name in PROJECTS:
        folder = (EXAMPLES / name).parent
        reading = layout.read(EXAMPLES / name)
        used |= {(folder / source).relative_to(EXAMPLES).as_posix() for source in reading.sources}
    there = [file for file in EXAMPLES.rglob("*") if file.is_file() and not REMEMBERED("", [file.name])]
    assert used == {file.relative_to(EXAMPLES).as_posix() for file in there}


@pytest.mark.parametrize("name", PROJECTS)
def test_example_reads_without_a_fault(name: str) -> None:
    """Each example reads well and says that it is invented."""
    reading = layout.read(EXAMPLES / name)
    assert reading.project is not None
    assert reading.project.project.example
    assert not has_stops(reading.findings)


def test_workshop_wall_builds(wall: Built) -> None:
    """The first thing a newcomer builds has no error, five devices on one panel and one 12 V system."""
    assert wall.ran.code == 0, wall.ran.out
    project = layout.read(wall.file).project
    assert project is not None
    assert sum(bool(device.panel) for device in project.devices.values()) == 5
    assert {supply.voltage for supply in project.supplies.values()} == {12.0}


def test_launch_builds(launch: Built) -> None:
    """The launch has no error; a hinged console, a board in the locker, three systems, and what a refit brings."""
    assert launch.ran.code == 0, [one for one in launch.ran.data["findings"] if one["severity"] == "stop"]
    project = layout.read(launch.file).project
    assert project is not None
    assert len(project.panels) == 2
    assert project.panels["console"].hinge is not None
    assert sum("console" in device.panel for device in project.devices.values()) >= 16
    assert len(project.circuits) >= 30
    assert {panel.voltage for panel in project.breaker_panels.values()} >= {12.0, 24.0, 230.0}
    assert any(device.aboard is not None for device in project.devices.values())


def test_wrong_network_has_its_three_faults(launch: Built, tmp_path: Path) -> None:
    """Beside the good launch it has a third terminator, a 9 m drop and a tap at one end, and nothing else."""
    wrong = spile("check", as_placed(launch, "wrong_network", tmp_path / "wrong"), "--json")
    good = spile("check", launch.file, "--json")
    assert wrong.code == 1
    more = said(wrong.data["findings"]) - said(good.data["findings"])
    assert sorted(rule for severity, rule, _ in more if severity == "stop") == ["bus 1", "bus 2", "bus 5", "bus 6"]
    assert sorted(rule for severity, rule, _ in more if severity == "watch") == ["bus 28", "bus 32"]
    words = " ".join(message for _, _, message in more)
    assert "3 terminators; it takes 2" in words
    assert "9.00 m; the limit is 6 m" in words
    assert "from one end" in words


def test_overfull_is_the_launch_with_one_more(launch: Built, tmp_path: Path) -> None:
    """Where the launch's devices stand, exactly the display that is too much has no place."""
    ran = spile("check", as_placed(launch, "overfull", tmp_path / "overfull"), "--json")
    assert ran.code == 1
    homeless = [one for one in ran.data["findings"] if one["rule"] == "panel 37"]
    assert [one["subjects"] for one in homeless] == [["devices.survey_display"]]
    (stale,) = [one for one in ran.data["findings"] if one["rule"] == "fit 8"]
    assert stale["message"].endswith("device Survey display is new")


@pytest.mark.long
def test_overfull_is_explained(tmp_path: Path) -> None:
    """Placing it names the display among what conflicts, and offers single changes; nothing is kept."""
    shutil.copytree(EXAMPLES / "launch", tmp_path / "launch", ignore=REMEMBERED)
    ran = spile("arrange", tmp_path / "launch" / "overfull.yaml", "--effort", "quick", "--json")
    assert ran.code == 1
    conflict = [finding for finding in ran.data["findings"] if finding["rule"] == "fit 2"]
    assert any("devices.survey_display" in finding["subjects"] for finding in conflict)
    assert any("Survey display" in line for line in ran.data["said"])
    assert not (tmp_path / "launch" / "overfull.register.yaml").exists()


@pytest.mark.parametrize(
    "name",
    [
        "canal_barge.yaml",
        *(pytest.param(name, marks=pytest.mark.long) for name in ("mussel_boat.yaml", "hire_cruiser.yaml")),
    ],
)
def test_example_builds(name: str, tmp_path: Path) -> None:
    """The barge, by gauge and inch and with a steel hull, and the two wired in other ways build without an error."""
    shutil.copy(EXAMPLES / name, tmp_path)
    ran = spile("build", tmp_path / name, "--effort", "quick", "--out", tmp_path / "out", "--json")
    assert ran.code == 0, [one for one in ran.data["findings"] if one["severity"] == "stop"]
    assert (tmp_path / "out" / "csv" / "schedule.csv").exists()


def test_mussel_boat_has_fuses_and_bars_only() -> None:
    """Without a distribution panel all that is said is of a table not seen and of starting leads."""
    project = layout.read(EXAMPLES / "mussel_boat.yaml").project
    assert project is not None
    assert not project.breaker_panels
    wiring = wire(project, spread_out(project))
    assert {finding.rule for finding in wiring.findings} == {"wire 8", "fuse 20"}
    guarded = [run for run in wiring.runs if run.key.startswith("circuits.")]
    assert guarded
    assert all(run.guard is not None and run.guard.rating_a for run in guarded)
