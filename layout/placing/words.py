"""What is proven, in words: the one place where they stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.wishes.wanted import COST_PER_MM

if TYPE_CHECKING:
    from layout.placing.engine.stage_result import Progress
    from layout.project.model.arrangement import Arrangement

NO_ARRANGEMENT = "no arrangement holds all rules: proven on the grid for these shapes"
NOT_PROVEN = "no arrangement was found that holds all rules, and none is proven impossible"

NOT_ASKED = "how near the best is for spile prove to say"

USEFUL = 0.5
"""A bound that leaves more of the value open than this says nothing useful."""


def proof_words(arrangement: Arrangement) -> str:
    """Return what is proven about an arrangement, never more.

    "optimal on the 0.5 mm grid for these shapes", "optimal for this order", "within x %", or what is
    not known; or that it is not usable; with the gap beside the order where there is one, and whether a time limit
    ended the work.
    """
    match arrangement.proof:
        case "optimal":
            words = f"optimal on the {arrangement.grid:g} mm grid for these shapes"
        case "optimal for this order":
            words = "optimal for this order"
            words += f", within {_percent(arrangement)} of any" if _useful(arrangement) else f", {_open(arrangement)}"
        case "within":
            words = f"within {_percent(arrangement)}"
        case "feasible":
            words = f"holds all rules, {_open(arrangement)}"
        case "not usable":
            words = "not usable: it breaks rules and is only shown"
    return f"{words} (the time allowed ended the work, a second run may differ)" if arrangement.clock_struck else words


def progress_words(now: Progress) -> str:
    """Return a line to show while work goes on: stage, score in weighted mm, and bound and gap once known."""
    if now.value is None:
        return f"{now.stage}, nothing found yet"
    words = f"{now.stage}, score {now.value / COST_PER_MM:.1f}"
    if now.bound is None or now.bound <= 0:
        return f"{words}, no bound yet"
    gap = max(0.0, (now.value - now.bound) / now.value) if now.value else 0.0
    return f"{words}, bound {now.bound / COST_PER_MM:.1f}, gap {100 * gap:.0f} %"


def _useful(arrangement: Arrangement) -> bool:
    return arrangement.gap is not None and arrangement.gap <= USEFUL


def _open(arrangement: Arrangement) -> str:
    """Say why nothing is known of the best: nobody asked, or the bound is too low to say anything."""
    return NOT_ASKED if arrangement.bound is None else "no useful bound"


def _percent(arrangement: Arrangement) -> str:
    """Return the gap, rounded up to a tenth of a percent."""
    tenths = -int(-1000 * (arrangement.gap or 0.0) // 1)
    return f"{tenths / 10:g} %"
