"""What the numbers rest on without being known: said on the cover, counted from the model."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.model.panel import SizeFrom

if TYPE_CHECKING:
    from layout.handover.plan import Plan

_MOST_NAMES = 4
"""More names than this are counted."""


def assumptions(plan: Plan) -> tuple[str, ...]:
    """Return one sentence for each thing that was assumed."""
    runs = [run for run in plan.wiring.runs if run.aboard != "remove"]
    given = sum(1 for run in runs if run.length.fixed)
    lines = [f"Lengths: {given} of {len(runs)} runs are given by the owner, the others worked out and not measured."]
    guessed = [
        device.name or device.id
        for device in plan.project.devices.values()
        if device.panel and device.size_from is SizeFrom.GUESSED
    ]
    if guessed:
        lines.append(f"Sizes guessed: {assumed_names(guessed)}.")
    kept = sum(1 for run in runs if run.aboard in ("keep", "reuse"))
    if kept:
        lines.append(f"Wires aboard: {kept} runs stay as they are described; nobody looked at them.")
    kinds = sum(1 for run in runs if run.cable is None)
    if kinds:
        lines.append(f"Cable kind: not declared for {kinds} runs; a typical outer diameter was taken.")
    return tuple(lines)


def assumed_names(all_of_them: list[str]) -> str:
    """Return names in a row, the many ones counted.

    >>> names(["a", "b"]), names(["a", "b", "c", "d", "e"])
    ('a, b', 'a, b, c, d and 1 more')
    """
    shown, rest = all_of_them[:_MOST_NAMES], len(all_of_them) - _MOST_NAMES
    return ", ".join(shown) + (f" and {rest} more" if rest > 0 else "")
