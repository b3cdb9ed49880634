"""Warning labels: what stays live, what has two supplies, where there is AC, the battery switches."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.wires.schedule_columns import name_of
from layout.handover.lists.work_aboard.isolation import source_names

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.handover.plan import Plan

Warning = tuple[str, str]  # noqa: A001 (a warning label, in a module that warns of nothing else)
"""Large words, and the line below them."""


def warning_labels(plan: Plan) -> tuple[Warning, ...]:
    """Return the warning labels of a project, each once."""
    return tuple(dict.fromkeys(_labels(plan)))


def _labels(plan: Plan) -> Iterator[Warning]:
    project = plan.project
    for live in plan.wiring.isolation.live:
        supply = project.supplies.get(live.owner)
        if live.owner in project.battery_switches or (supply is not None and supply.kind == "battery"):
            continue  # that these are live surprises nobody
        names = source_names(project, live.sources)
        yield "ALWAYS LIVE", f"{name_of(project, live.owner)}: from {names}, switches off or not"
    for panel in project.breaker_panels.values():
        name = panel.name or panel.id
        feeds = [feeder for feeder in project.feeders.values() if feeder.to.owner == panel.id]
        if len({feeder.from_ for feeder in feeds if set(feeder.poles) & {"+", "L"}}) > 1:
            yield "TWO SUPPLIES", f"{name}: switch off both"
        if panel.ac:
            yield f"{panel.voltage:g} V AC", f"{name}: licensed person only, unplug the shore lead first"
    for switch in project.battery_switches.values():
        yield (switch.name or switch.id).upper(), f"battery switch, {switch.voltage:g} V"
