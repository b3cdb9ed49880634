"""The three stages of wiring of one project, one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layout.wiring.declared import Declared, make_declared
from layout.wiring.loaded import Loaded, make_loaded
from layout.wiring.settled import Settled, laid_system, make_settled

if TYPE_CHECKING:
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.wiring.system.graph import System


class Stages(NamedTuple):
    """What the file says, what flows, and what routes and sizes came to."""

    declared: Declared
    loaded: Loaded
    settled: Settled


def stages_of(project: Project, arrangement: Arrangement | None = None) -> Stages:
    """Return all stages of a project."""
    declared = make_declared(project, arrangement)
    loaded = make_loaded(declared)
    return Stages(declared, loaded, make_settled(declared, loaded))


def system_of(stages: Stages) -> System:
    """Return the electrical graph with what was found for its conductors."""
    return laid_system(*stages)
