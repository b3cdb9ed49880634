"""Every command ends in one of four ways, and a fault of ours tells nothing of the user's."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from layout.cli.fault_report import ALLOW, REPORT_NAME
from layout.cli.options import FAULT, FINE, UNUSABLE
from tests.conftest import EXAMPLES, ROOT
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

WALL = EXAMPLES / "workshop_wall.yaml"
SECRET = "owner of the blue boat"


@pytest.fixture
def broken(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Make reading fail as no input should make it fail; return the folder the user stands in."""

    def fail(path: Path) -> None:
        raise KeyError(f"{SECRET} at {path}")

    monkeypatch.setattr("layout.project.reading.read.read", fail)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("command", ["check", "build", "rules"])
def test_a_fault_of_ours_is_one_calm_sentence(command: str, broken: Path) -> None:
    """It has an exit code of its own, no traceback, and a report that says where but nothing of the project."""
    ran = spile(command, WALL)
    assert (ran.code, ran.out) == (FAULT, "")
    assert "Traceback" not in ran.err
    assert str(broken / REPORT_NAME) in ran.err
    report = (broken / REPORT_NAME).read_text(encoding="utf-8")
    assert "layout/cli/" in report
    assert "KeyError" in report
    assert SECRET not in report
    assert str(WALL) not in report


def test_the_user_may_allow_more(broken: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With leave, the report holds the text of the fault too."""
    monkeypatch.setenv(ALLOW, "1")
    spile("check", WALL)
    assert SECRET in (broken / REPORT_NAME).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("shell", "code"),
    [
        ("{spile} rules {wall} > /dev/full", UNUSABLE),
        ("{spile} rules {wall} >&-", FINE),
        ("{{ {spile} rules {wall}; echo $? >&2; }} | head -c 0", UNUSABLE),
    ],
    ids=["disk full", "closed", "nobody reads"],
)
def test_output_that_takes_nothing(shell: str, code: int, tmp_path: Path) -> None:
    """Standard output that is full, closed or left by its reader is no crash."""
    line = shell.format(spile=f"{sys.executable} -m spile", wall=WALL)
    done = subprocess.run(
        ["bash", "-c", line], check=False, capture_output=True, text=True, cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr
    said = int(done.stderr.split()[-1]) if "head" in shell else done.returncode
    assert said == code
    assert not (tmp_path / REPORT_NAME).exists()
