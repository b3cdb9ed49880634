"""Chapters of the pack beyond the wiring: instrument buses, antennas, the day's energy."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.handover.work import Chapter
    from layout.project.model.project import Project
    from layout.wiring.energy import EnergySheet
    from layout.wiring.net.networks import Networks


def chapters(project: Project, networks: Networks, energy: EnergySheet) -> tuple[Chapter, ...]:
    """Return the chapters that the project has something for."""
    return ()
