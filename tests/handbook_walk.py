"""Do what a page of the handbook says, in an empty folder: write its files, change them, run its commands.

A page is walked by its own words. ``Write `NAME`:`` before a block of YAML makes a file, ``Add to `NAME`:`` goes on
with it, ``In `NAME` change `THIS` to `THAT`.`` changes what stands there once. A line set in by four blanks or more
that begins with ``spile`` is run; each line of a block of text after it is one that the command said.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tests.conftest import ROOT

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.running import Ran

STEP = re.compile(
    r"(?P<how>Write|Add to) `(?P<file>[\w.-]+)`:\n\n```yaml\n(?P<yaml>.*?)```"
    r"|In `(?P<changed>[\w.-]+)` change `(?P<this>[^`]+)` to `(?P<that>[^`]+)`"
    r"|^ {4,}spile (?P<command>[^\n]+)$"
    r"|```text\n(?P<said>.*?)```",
    flags=re.DOTALL | re.MULTILINE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A command of the page, what it did, and which lines the page says that it says."""

    command: str
    ran: Ran
    lines: tuple[str, ...] = ()

    @property
    def missing(self) -> list[str]:
        """Lines of the page that the command did not say."""
        said = [f" {' '.join(text.split())} " for text in (self.ran.out, self.ran.err)]  # lines break anywhere
        return [line for line in self.lines if not any(f" {' '.join(line.split())} " in text for text in said)]


def page(name: str) -> str:
    """Return the text of a page."""
    return (ROOT / "docs" / f"{name}.md").read_text(encoding="utf-8")


def walk(text: str, folder: Path, run: Callable[..., Ran]) -> list[Said]:
    """Do all steps of a page in a folder, which is also where ``run`` runs each command's words.

    Raises
    ------
    ValueError
        If a change names words that do not stand exactly once in the file.
    """
    told: list[Said] = []
    for step in STEP.finditer(text):
        if step["how"]:
            with (folder / step["file"]).open("a" if step["how"] == "Add to" else "w", encoding="utf-8") as stream:
                stream.write(step["yaml"])
        elif step["changed"]:
            _change(folder / step["changed"], step["this"], step["that"])
        elif step["command"]:
            told.append(Said(command=step["command"], ran=run(*shlex.split(step["command"]))))
        elif step["said"] and told:
            last = told[-1]
            told[-1] = Said(command=last.command, ran=last.ran, lines=(*last.lines, *step["said"].splitlines()))
    return told


def _change(file: Path, this: str, that: str) -> None:
    text = file.read_text(encoding="utf-8")
    if text.count(this) != 1:
        raise ValueError(f"{file.name}: '{this}' stands there {text.count(this)} times")
    file.write_text(text.replace(this, that), encoding="utf-8")
