"""Figures of the wiring that are changed on the page: a circuit's load and a fuse, in the file that says them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from layout.bench.open_files import RefusedError
from layout.quantity import UNITS

if TYPE_CHECKING:
    from layout.bench.workbench import Workbench

_POWER = re.compile(rf".*\d\s*({'|'.join(UNITS['power'])})\s*")


def set_load(bench: Workbench, circuit: str, text: str) -> None:
    """Set what a circuit draws, in amperes or watts; where the file said the other one, that goes.

    Raises
    ------
    RefusedError
        If there is no such circuit, or the text is neither.
    """
    known = bench.project.circuits.get(circuit)
    if known is None:
        raise RefusedError(f"there is no circuit '{circuit}'")
    key, other = ("power", "current") if _POWER.fullmatch(text) else ("current", "power")
    settings: dict[str, object] = {f"circuits.{circuit}.load.{key}": _with_unit(text)}
    if known.load is not None and getattr(known.load, other) is not None:
        settings[f"circuits.{circuit}.load.{other}"] = None
    bench.edit(settings, words=f"load of {known.name or circuit}")


def set_fuse(bench: Workbench, key: str, text: str) -> None:
    """Set the rating of a protective device that guards a run, by the key of the entry that declares it.

    Raises
    ------
    RefusedError
        If no run is guarded by it, or the text is no current.
    """
    guarded = [run for run in bench.plan().wiring.runs if run.guard is not None and run.guard.key == key]
    if not guarded:
        raise RefusedError(f"no wire is guarded by '{key}'")
    bench.edit({f"{key}.rating": _with_unit(text)}, words=f"fuse of {guarded[0].name}")


def _with_unit(text: str) -> str:
    """Return a figure with its unit: amperes where none is said."""
    return f"{text.strip()} A" if re.fullmatch(r"\s*[\d.]+\s*", text) else text.strip()
