"""Conductors loaded together in each wireway and loom, in the worst declared situation."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.project import Project
    from layout.wiring.sizing.segment_state import SegmentState
    from layout.wiring.sizing.sized_segment import SizedSegment

BundleKey = tuple[str, str]
"""``("wireway", key)`` or ``("loom", "panel class")``: AC and DC are dressed apart on a panel."""


def places_of(project: Project, plan: SegmentState | SizedSegment) -> list[BundleKey]:
    """Return the bundles that a segment lies in: wireways that count as one, and looms of the panels it ends on."""
    found: list[BundleKey] = [("wireway", key) for key in plan.route or () if project.wireways[key].bundled]
    panels = [site.panel for site in plan.sites if site.panel is not None]
    run_class = plan.segment.run_class
    found += [("loom", f"{panel} {run_class}") for panel in panels if project.panels[panel].loom]
    return list(dict.fromkeys(found))


def loaded_together(
    project: Project, plans: Iterable[SegmentState | SizedSegment], never_with: Mapping[str, str]
) -> dict[BundleKey, int]:
    """Return how many current-carrying conductors are loaded together in each bundle.

    Parameters
    ----------
    never_with
        Group by circuit; of circuits in one group only the one with most conductors counts.
    """
    alone: dict[BundleKey, int] = defaultdict(int)
    counts: dict[tuple[BundleKey, str], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for plan in plans:
        carrying = plan.carrying
        if not carrying:
            continue
        users = plan.segment.circuits or (plan.segment.key,)
        groups = {never_with.get(user, "") for user in users}
        group = groups.pop() if len(groups) == 1 else ""
        for key in places_of(project, plan):
            if group:
                counts[key, group][users[0]] += carrying
            else:
                alone[key] += carrying
    for (key, _), by_circuit in counts.items():
        alone[key] += max(by_circuit.values())
    return dict(alone)


def worst_bundle(project: Project, plan: SegmentState, counts: Mapping[BundleKey, int]) -> int:
    """Return the most conductors loaded together anywhere along a segment, its own counted."""
    return max([1, plan.carrying, *(counts.get(key, 0) for key in places_of(project, plan))])
