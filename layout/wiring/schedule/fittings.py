"""What is crimped on at each end: ring, tube lug, ferrule or push-on by the terminal and the conductor's area."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards.terminals import Lug, ferrule, push_on, ring

if TYPE_CHECKING:
    from layout.project.model.device import Terminal

NOT_KNOWN = ""


def fitting(terminal: Terminal | None, *, stud: str | None, area_mm2: float | None, is_splice: bool = False) -> str:
    """Return the end fitting in words; empty where terminal or size is not known, ``none made`` where no lug fits.

    Parameters
    ----------
    terminal
        As declared on the device; None where nothing is said.
    stud
        Stud of a bus bar or switch, where that is what the conductor goes on.
    area_mm2
        Of the conductor.
    is_splice
        Whether the conductor is joined to others in the open, at a place without a terminal.
    """
    if is_splice:
        return "splice, heat shrink"
    takes = terminal.takes if terminal else None
    stud = stud or (terminal.stud if terminal else None)
    if area_mm2 is None or (takes is None and stud is None):
        return NOT_KNOWN
    if takes in ("plug", "bare", "solder"):
        return {"plug": "plug (maker's)", "bare": "bare end", "solder": "soldered"}[takes]
    if takes == "ferrule":
        made = ferrule(area_mm2)
    elif takes == "blade":
        made = push_on(area_mm2)
    else:
        made = _ring(area_mm2, stud)
        if takes == "fork" and made is not None:
            return made.text.replace("ring", "fork", 1)
    return made.text if made is not None else "none made for this size"


def _ring(area_mm2: float, stud: str | None) -> Lug | None:
    if stud is None:
        return None
    try:
        return ring(area_mm2, stud)
    except KeyError:
        return None
