"""Documents that follow the files."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from functools import partial
from typing import TYPE_CHECKING

import pytest

from layout.project.register import load, register_path
from tests.bench.test_server import put_wall

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.skipif(os.name != "posix", reason="ends by a signal")
def test_watch_makes_documents_anew_and_survives_a_bad_edit(tmp_path: Path) -> None:
    """A change is followed, a file that can't be read is told, and the documents stay as they were."""
    wall = put_wall(tmp_path)
    out = tmp_path / "out"
    made = subprocess.Popen(
        [sys.executable, "-m", "layout", "watch", str(wall), "--out", str(out)],
        stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONUNBUFFERED": "1"},
        preexec_fn=partial(signal.signal, signal.SIGINT, signal.SIG_DFL),  # noqa: PLW1509 (no threads here; a shell's background jobs ignore Ctrl-C)
    )  # fmt: skip
    assert made.stdout is not None
    try:
        assert "Watching" in made.stdout.readline()
        assert "documents in" in made.stdout.readline()
        before = (out / "workshop.pdf").read_bytes()
        good = wall.read_text(encoding="utf-8")
        wall.write_text(good + "nonsense: [\n", encoding="utf-8")
        assert "stop" in made.stdout.readline()
        assert (out / "workshop.pdf").read_bytes() == before
        time.sleep(0.01)
        wall.write_text(good.replace("Workshop wall", "Wall of the workshop"), encoding="utf-8")
        while "documents in" not in made.stdout.readline():
            pass
        assert (out / "workshop.pdf").read_bytes() != before
    finally:
        made.send_signal(signal.SIGINT)
        made.communicate(timeout=30)
    register, _ = load(register_path(wall))
    assert register is not None
    assert register.issued, "what went to paper is in the register too"
