"""Two arrangements, revisions and practices held against each other, and documents that follow the files."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from typing import TYPE_CHECKING

import pytest

from layout.project.register import load, register_path
from tests.bench.test_server import SPOTS, wall
from tests.conftest import EXAMPLES

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["wall"]


def compare(*words: str) -> tuple[int, dict[str, object]]:
    """Run the command for programs."""
    ran = subprocess.run(
        [sys.executable, "-m", "layout", "compare", *words, "--json"],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    return ran.returncode, json.loads(ran.stdout)


def test_a_move_is_the_only_difference(wall: Path) -> None:
    """What stood before against what stands now, with how far it went."""
    subprocess.run(
        [sys.executable, "-m", "layout", "move", str(wall), "lamp", "--by", "0,-50"], check=True, capture_output=True
    )
    code, told = compare(str(wall), "before", "now")
    x, y = SPOTS["lamp"]
    assert code == 0
    assert told["changes"] == [
        {"what": "device", "id": "Lamp", "change": "moved", "before": f"wall at {x:g}, {y:g}",
         "now": f"wall at {x:g}, {y - 50:g} (+0.0, -50.0 mm)"},
    ]  # fmt: skip
    assert told["labels_again"] == []
    assert compare(str(wall), "now", "now")[1]["changes"] == []


def test_practices_differ_in_sizes_and_name_the_labels(tmp_path: Path) -> None:
    """The launch by the other practice: sizes and colours change, numbers never."""
    folder = tmp_path / "launch"
    shutil.copytree(EXAMPLES / "launch", folder)
    code, told = compare(str(folder / "launch.yaml"), "iso", "abyc")
    changes = told["changes"]
    assert code == 0
    assert isinstance(changes, list)
    assert {"resized", "recoloured"} <= {change["change"] for change in changes}
    assert "numbered anew" not in {change["change"] for change in changes}
    assert told["labels_again"]


def test_what_is_not_there_is_named(wall: Path) -> None:
    """The words that can be used are told."""
    ran = subprocess.run(
        [sys.executable, "-m", "layout", "compare", str(wall), "7", "now"], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 2
    assert "one of now, iso, abyc" in ran.stderr


@pytest.mark.skipif(os.name != "posix", reason="ends by a signal")
def test_watch_makes_documents_anew_and_survives_a_bad_edit(wall: Path, tmp_path: Path) -> None:
    """A change is followed, a file that can't be read is told, and the documents stay as they were."""
    out = tmp_path / "out"
    made = subprocess.Popen(
        [sys.executable, "-m", "layout", "watch", str(wall), "--out", str(out)],
        stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONUNBUFFERED": "1"},
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
