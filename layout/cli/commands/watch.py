"""``spile watch``: the documents made anew whenever the project's files change."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from layout.cli.options import AsJson, OutDir, ProjectPath, Quiet
from layout.cli.session import runs_on
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.reading.stamps import Stamp

_LOOK_S = 0.5
"""How often the files are looked at; it changes no result."""


def watch(file: ProjectPath, out: OutDir = Path("out"), as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Make the documents anew whenever a file changes, until Ctrl-C.

    Nothing is placed: the chosen arrangement is taken. A file that can't be read is told, and the documents stay as
    they were. With --json each round is one object on a line.

    Example: spile watch panel.yaml
    """
    from layout import flow
    from layout.findings import as_json as as_findings
    from layout.findings import as_lines
    from layout.project.editing.lock import HeldError, hold, release
    from layout.project.reading.read import read
    from layout.project.reading.stamps import stamps
    from layout.project.register import load, register_path, save

    voice = Voice(as_json=as_json, quiet=quiet)
    runs_on()
    voice.line(f"Watching {file}; Ctrl-C ends it.")
    seen: tuple[Stamp, ...] | None = None
    names: Sequence[str] = (file.name,)
    while True:
        if stamps(file.parent, names) == seen:
            time.sleep(_LOOK_S)
            continue
        try:
            hold(file, "spile watch")
        except HeldError as error:
            voice.line(str(error))
            continue
        reading, (register, faults) = read(file), load(register_path(file))
        # a file that can't be read names no others: those it named before are still looked at
        names = tuple(dict.fromkeys((*names, *reading.sources, register_path(file).name)))
        seen = stamps(file.parent, names)
        if reading.project is None or register is None:
            for line in as_lines((*reading.findings, *faults), sources=reading.sources):
                voice.line(line)
            release()
            continue
        plan = flow.plan(reading.project, register.arrangement, register=register, found=reading.findings)
        plan = flow.with_photographs(plan, file.parent)
        numbered = flow.remember(register, plan)  # no number stands on paper and nowhere else
        unsaved = save(register_path(file), numbered, known=register) if numbered != register else ()
        if unsaved:
            voice.line(unsaved[0].message)
            release()
            continue
        written = flow.hand_over(plan, out).files
        seen = _own_register(seen, stamps(file.parent, names), register_path(file).name)
        release()
        stops = sum(1 for finding in plan.findings if finding.weight.value == "stop")
        voice.line(f"{len(written)} documents in {out}; {stops} stop, {len(plan.findings) - stops} to look at.")
        if as_json:
            told = {"files": [str(path) for path in written], "stops": stops, "findings": as_findings(plan.findings)}
            sys.stdout.write(json.dumps(told) + "\n")
        sys.stdout.flush()


def _own_register(seen: tuple[Stamp, ...], now: tuple[Stamp, ...], register: str) -> tuple[Stamp, ...]:
    """Return what was seen, with the register as this command has just left it: that is no change to follow."""
    left = next(stamp for stamp in now if stamp[0] == register)
    return tuple(left if stamp[0] == register else stamp for stamp in seen)
