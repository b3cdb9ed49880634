"""A newcomer's evening: ``python -m tests.newcomer SPILE`` does the tutorial with an installed program.

In an empty folder, with every socket refused, and with nothing of the checkout in reach. It ends with 0 where each
command ends as the page says, says what the page says, and leaves the sheets that the pictures show.
"""

from __future__ import annotations

import contextlib
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.handbook_pictures import PICTURES, made
from tests.handbook_walk import Said, page, walk
from tests.running import Ran, spile

NO_NETWORK = """
import socket


def refused(self, address):
    raise OSError("no network this evening")


socket.socket.connect = socket.socket.connect_ex = refused
"""
"""What Python runs first; the program does not know."""


def evening(program: str, folder: Path) -> list[Said]:
    """Do the tutorial in a folder with a program of another environment."""
    first = folder.parent / "no-network"
    first.mkdir()
    (first / "sitecustomize.py").write_text(NO_NETWORK, encoding="utf-8")
    environment = {"PATH": os.environ["PATH"], "HOME": str(folder.parent), "PYTHONPATH": str(first)}

    def run(*words: str) -> Ran:
        done = subprocess.run(
            [program, *words], capture_output=True, text=True, cwd=folder, env=environment, check=False
        )
        return Ran(code=done.returncode, out=done.stdout, err=done.stderr)

    return walk(page("tutorial"), folder, run)


def faults(told: list[Said]) -> list[str]:
    """Return what did not go as the page says; the check with the missing load alone ends with a stop."""
    wrong = [f"spile {said.command} did not say: {line}" for said in told for line in said.missing]
    ended = [said.command for said in told if said.ran.code]
    return wrong + ([] if ended == ["check dayboat.yaml"] else [f"these did not end well: {', '.join(ended)}"])


def main(program: str) -> int:
    """Do the evening twice, with the installed program and here, and compare the sheets of the pictures."""
    with tempfile.TemporaryDirectory() as place:
        away, here = Path(place) / "away", Path(place) / "here"
        for folder in (away, here):
            folder.mkdir()
        wrong = faults(evening(program, away))
        with contextlib.chdir(here):
            walk(page("tutorial"), here, spile)
        for name, picture in PICTURES.items():
            if picture.page == "tutorial" and not picture.chapter and made(name, away) != made(name, here):
                wrong.append(f"{name} is not the picture that the handbook shows")
        for name in re.findall(r"`(out/[\w./-]+\w)`", page("tutorial")):
            if not (away / name).is_file():
                wrong.append(f"{name} is not there")
    print("\n".join(wrong) or "the evening ends with the pack")
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
