"""The smallest set of devices and rules that conflict, found by leaving out one after another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.explain.leaving import as_twin, devices_named, only, rules_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.placing.explain.leaving import Blameable
    from layout.placing.explain.trial import Trying
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Blamed:
    """A member of a conflict; ``needed`` when leaving it out of the conflict gives an arrangement that is judged."""

    member: Blameable
    needed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Devices and rules that can't all be met, by proof.

    Attributes
    ----------
    members
        Devices first, then rules. Faces inside their panel and not overlapping each other always hold, and are not
        named.
    project
        The project reduced to the conflict.
    """

    members: tuple[Blamed, ...]
    project: Project


def conflict(project: Project, trying: Trying) -> Conflict | None:
    """Return a smallest conflict of a project, or None when no part of it is proven impossible.

    Smallest means that nothing more can be left out of it with what remains still proven impossible.
    """
    bare = _uncovered(project)
    core = _core(bare, trying)
    if core is not None:
        core = _reduced(core, devices_named(core), trying)[0]
        core, rules = _reduced(core, rules_of(core), trying)
        core = _reduced(core, devices_named(core), trying)[0]
        return Conflict(members=tuple(_blame(core, (*devices_named(core), *rules), trying)), project=core)
    if bare is not project and trying.ruled_out(project):
        # An old hole that has to be covered needs devices, so that fewer of them conflict more: only rules are reduced.
        core, rules = _reduced(project, rules_of(project), trying)
        return Conflict(members=tuple(_blame(core, (*devices_named(core), *rules), trying)), project=core)
    return None


def _uncovered(project: Project) -> Project:
    """Return the project without old holes that a face has to cover."""
    for member in rules_of(project):
        if ".old_holes." in member.key:
            _, panel, _, name = member.key.split(".")
            if project.panels[panel].old_holes[name].fate == "cover":
                project = member.left_out(project)
    return project


def _blame(core: Project, members: Sequence[Blameable], trying: Trying) -> Iterator[Blamed]:
    known: dict[str, bool] = {}
    for member in members:
        twin = as_twin(core, member.key.partition(".")[2]) if member.kind == "device" else ""
        needed = known.get(twin) if twin else None
        if needed is None:
            needed = trying.fits(member.left_out(core)) is not None
        if twin:
            known[twin] = needed
        yield Blamed(member=member, needed=needed)


def _core(project: Project, trying: Trying) -> Project | None:
    """Return a part of the project that is proven impossible: its largest devices, few first, or all of it."""
    ranked = sorted(devices_named(project), key=lambda member: -_area(project, member))
    names = [member.key.partition(".")[2] for member in ranked]
    count = 1
    while count < len(names):
        part = only(project, names[:count])
        if trying.ruled_out(part):
            return part
        count *= 2
    return project if trying.ruled_out(project) else None


def _area(project: Project, member: Blameable) -> float:
    face = project.devices[member.key.partition(".")[2]].face
    return face.to_path().area() if face else 0.0


def _reduced(project: Project, members: Sequence[Blameable], trying: Trying) -> tuple[Project, tuple[Blameable, ...]]:
    """Leave out what is not needed for the proof, halves at a time; return the rest and its members."""
    needed: list[Blameable] = []
    pending = [list(members)]
    while pending:
        batch = pending.pop()
        without = project
        for member in batch:
            without = member.left_out(without)
        if batch and trying.ruled_out(without):
            project = without
        elif len(batch) == 1:
            needed.append(batch[0])
        elif batch:
            half = (len(batch) + 1) // 2
            pending += [batch[half:], batch[:half]]
    return project, tuple(member for member in members if member in needed)
