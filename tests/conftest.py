"""What all tests share: outside programs, the length of property runs, the examples."""

from __future__ import annotations

import json
import os
import shutil
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from filelock import FileLock
from hypothesis import HealthCheck, settings

from tests.running import Ran, spile

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES = ROOT / "examples"
SOUND = ("launch/launch.yaml", "canal_barge.yaml", "workshop_wall.yaml", "mussel_boat.yaml", "hire_cruiser.yaml")
"""The examples that are wired as they should be, each in a way of its own."""
FULL = os.environ.get("SPILE_FULL_TESTS") == "1"
"""Set by .ci/run: property runs go in full, and a skipped test is a failure."""

settings.register_profile(
    "short", deadline=None, max_examples=25, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile(
    "full", deadline=None, max_examples=50, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("full" if FULL else "short")


def needs_program(name: str) -> pytest.MarkDecorator:
    """Mark a test that runs a program which pip does not bring; without it the test is skipped and listed."""
    return pytest.mark.program(name)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what needs a missing program, and the long property runs outside the full run."""
    for item in items:
        for mark in item.iter_markers("program"):
            if shutil.which(mark.args[0]) is None:
                item.add_marker(pytest.mark.skip(reason=f"needs the program {mark.args[0]}"))
        if not FULL and item.get_closest_marker("long"):
            item.add_marker(pytest.mark.skip(reason="long run, only in full"))


@pytest.hookimpl(wrapper=True)
def pytest_sessionfinish(session: pytest.Session) -> Iterator[None]:
    """In the full run a skipped test counts as a failure."""
    yield
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if FULL and reporter is not None and reporter.stats.get("skipped") and session.exitstatus == 0:
        reporter.write_line("tests were skipped in the full run", red=True)
        session.exitstatus = 1


REMEMBERED = shutil.ignore_patterns("*.register.yaml", "*.measured.csv")
"""What spile writes beside an example that somebody built; tests start without it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """An example that was placed and built once; tests read it, and change only a copy.

    Attributes
    ----------
    file, out
        Its project file, in a copy of the example's folder, and the folder of its documents.
    ran
        The build: exit code and what it said as JSON.
    """

    file: Path
    out: Path
    ran: Ran

    @property
    def register(self) -> Path:
        """The register beside the project."""
        return self.file.with_name(f"{self.file.stem}.register.yaml")

    def copy(self, folder: Path) -> Path:
        """Return the project file of a fresh copy, with its register and without its documents."""
        shutil.copytree(self.file.parent, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("out"))
        return folder / self.file.name


def build_once(factory: pytest.TempPathFactory, source: Path, name: str) -> Built:
    """Build a project from nothing with little work, in a copy of its folder; once for all processes of a test run."""
    base = factory.getbasetemp()
    folder = (base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base) / f"built-{Path(name).stem}"
    done = folder.with_suffix(".json")
    with FileLock(folder.with_suffix(".lock")):
        if not done.exists():
            if source.is_dir():
                shutil.copytree(source, folder, ignore=REMEMBERED)
            else:
                folder.mkdir()
                shutil.copy(source, folder)
            ran = spile("build", folder / name, "--effort", "quick", "--out", folder / "out", "--json")
            done.write_text(json.dumps(asdict(ran)), encoding="utf-8")
        ran = Ran(**json.loads(done.read_text(encoding="utf-8")))
    return Built(file=folder / name, out=folder / "out", ran=ran)


@pytest.fixture(scope="session")
def wall(tmp_path_factory: pytest.TempPathFactory) -> Built:
    """Build the workshop wall."""
    return build_once(tmp_path_factory, EXAMPLES / "workshop_wall.yaml", "workshop_wall.yaml")


@pytest.fixture(scope="session")
def launch(tmp_path_factory: pytest.TempPathFactory) -> Built:
    """Build the survey launch."""
    return build_once(tmp_path_factory, EXAMPLES / "launch", "launch.yaml")
