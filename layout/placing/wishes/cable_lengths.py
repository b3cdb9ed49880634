"""The wish for short cables: each pull as a distance that costs as much as its copper weighs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.translation.relation_rules import sum_of
from layout.placing.wishes.pulls import pulls
from layout.placing.wishes.wishing import datum

if TYPE_CHECKING:
    from layout.geometry.box import Point
    from layout.placing.wishes.wishing import Wishing

CABLE_MM2 = 2.5
"""Conductor whose millimetre counts as one millimetre."""


def short_cables(wishing: Wishing) -> None:
    """Draw terminals to the panel's cable entry, or to the other device where both share their panels."""
    index = wishing.built.index.number
    things = wishing.built.index.things
    chosen = {wishing.called(item) for item in wishing.items()}
    for pull in pulls(wishing.project):
        if pull.device not in index or not chosen & {pull.device, pull.to}:
            continue
        cost = round(wishing.cost * pull.copper_mm2 / CABLE_MM2)
        item, other = index[pull.device], index.get(pull.to or "")
        if other is not None and set(things[item].panels) == set(things[other].panels):
            for axis in (0, 1):
                parts = [
                    (item, axis, 1, _terminal(wishing, item, axis, pull.at)),
                    (other, axis, -1, _terminal(wishing, other, axis, pull.to_at)),
                ]
                wishing.at_zero(sum_of(parts), cost=cost)
            continue
        _to_entry(wishing, item, pull.at, cost)
        if other is not None:
            _to_entry(wishing, other, pull.to_at, cost)


def _terminal(wishing: Wishing, item: int, axis: int, at: Point) -> list[float]:
    return [option.stand.at(at)[axis] for option in wishing.options(item)]


def _to_entry(wishing: Wishing, item: int, at: Point, cost: int) -> None:
    options = wishing.options(item)
    entries = [wishing.panel(option).cable_exit for option in options]
    missing = [option.frame.panel for option, entry in zip(options, entries, strict=True) if entry is None]
    if missing:
        message = f"the wish '{wishing.name}' needs to know where cables leave panel {missing[0]}"
        if all(finding.message != message for finding in wishing.findings):
            wishing.note(message, remedy=f"give panels.{missing[0]}.cable_exit", subjects=(f"panels.{missing[0]}",))
        return
    for axis in (0, 1):
        offsets = [
            value - datum(wishing.frame(option), axis) - entry.at[axis]
            for value, option, entry in zip(_terminal(wishing, item, axis, at), options, entries, strict=True)
            if entry is not None
        ]
        wishing.at_zero(sum_of([(item, axis, 1, offsets)]), cost=cost)
