"""The bench as ``spile bench`` starts it, and its page in Debian's browser; any error or foreign request is a fault."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest

from layout.project.reading.read import read
from layout.project.register import Register, register_path, save
from tests.running import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

OWN = ("http://127.0.0.1", "data:", "blob:")
CHROMIUM = shutil.which("chromium")
needs_chromium = pytest.mark.skipif(CHROMIUM is None, reason="needs chromium")


def put_barge(folder: Path) -> Path:
    """Put the barge into a folder, each device chosen to stand in the middle of its panel, and return its file."""
    from layout.placing.provisional_arrangement import in_the_middle

    file = folder / "canal_barge.yaml"
    shutil.copy(ROOT / "examples" / file.name, file)
    project = read(file).project
    assert project is not None
    assert save(register_path(file), Register(arrangement=in_the_middle(project))) == ()
    return file


@contextmanager
def a_browser() -> Iterator[Browser]:
    """Give Debian's browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        try:
            yield started
        finally:
            started.close()


@contextmanager
def served(path: Path) -> Iterator[str]:
    """Give the address at which a project is on the bench, until no longer needed; it ends without a complaint."""
    with tempfile.TemporaryFile("w+") as said:
        made = subprocess.Popen(
            [sys.executable, "-m", "layout", "bench", str(path), "--no-show"],
            stdout=subprocess.PIPE, stderr=said, text=True, cwd=ROOT, env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )  # fmt: skip
        assert made.stdout is not None
        address = re.search(r"http://\S+", made.stdout.readline())
        assert address is not None
        try:
            yield address[0]
        finally:
            made.send_signal(signal.SIGINT)
            made.communicate(timeout=20)
        said.seek(0)
        assert "Traceback" not in said.read()


@contextmanager
def shown(browser: Browser, address: str, **how: Any) -> Iterator[Page]:
    """Give the page at an address; ``how`` is what the browser's context takes: viewport, touch, colours."""
    faults: list[str] = []
    page = browser.new_page(**{"viewport": {"width": 1280, "height": 800}, "bypass_csp": True, **how})
    page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("request", lambda asked: faults.append(asked.url) if not asked.url.startswith(OWN) else None)
    page.goto(address)
    page.wait_for_selector("[data-device]", state="attached")
    try:
        yield page
    finally:
        page.close()
    assert faults == []
