"""What all tests share: outside programs, the length of property runs, the examples."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES = ROOT / "examples"
FULL = os.environ.get("SPILE_FULL_TESTS") == "1"
"""Set by .ci/run: property runs go in full, and a skipped test is a failure."""

settings.register_profile(
    "short", deadline=None, max_examples=25, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile(
    "full", deadline=None, max_examples=200, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
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
