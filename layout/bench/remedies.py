"""Single changes that make a project fit, as the page offers them: what each would look like, and what it writes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.bench.open_files import RefusedError
from layout.bench.picture import panels
from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.placing.judge import judge, refusals
from layout.project.editing.differences import differences
from layout.project.editing.edit import edit_project
from layout.project.reading.read import read

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from layout.bench.workbench import Workbench
    from layout.placing.explain.changes import SingleChange
    from layout.project.editing.differences import Setting
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One change.

    Attributes
    ----------
    words
        What it is, with its amount.
    settings
        What it changes in the project, key by key.
    arrangement
        One that was found with it; where it concerns some panels only, the rest stands as it is chosen.
    picture
        Every panel with it, as the page draws them.
    """

    words: str
    settings: tuple[Setting, ...]
    arrangement: Arrangement
    picture: list[dict[str, Any]]

    @property
    def written(self) -> tuple[Setting, ...]:
        """What is set in the file; where an outline lies is its panel's own matter, for the datum moves with it."""
        return tuple((key, value) for key, value in self.settings if not key.endswith(".outline.at"))


def remedies_of(project: Project, chosen: Arrangement | None, changes: Iterable[SingleChange]) -> tuple[Remedy, ...]:
    """Return the changes as the page offers them, in their order."""
    return tuple(_remedy(project, chosen, change) for change in changes)


def _remedy(project: Project, chosen: Arrangement | None, change: SingleChange) -> Remedy:
    from layout.placing.formulation import valued  # what places is not needed to see and to drag

    theirs = change.arrangement
    rest = {} if chosen is None else {
        name: at
        for name, at in chosen.placed.items()
        if name in change.whole.devices and name not in change.project.devices
    }  # fmt: skip
    placed = {**rest, **theirs.placed}
    in_order = FrozenMap({name: placed[name] for name in change.whole.devices if name in placed})
    arrangement = valued(change.whole, replace(theirs, placed=in_order))
    return Remedy(
        words=str(change),
        settings=differences(project, change.whole),
        arrangement=arrangement,
        picture=panels(change.whole, arrangement),
    )


def take(bench: Workbench, number: int) -> None:
    """Make a change that was offered, in the project's files, and take the arrangement that was found with it.

    Raises
    ------
    RefusedError
        If the files don't say exactly that afterwards: a key is lent by a type, say, or another entry needs it.
    """
    remedy, register = bench.remedy(number), bench.register
    bench.loose = None

    def change() -> None:
        project = _written(remedy, bench.path, bench.project)
        if refusals(judge(project, remedy.arrangement, chosen=register.arrangement)):
            bench.loose = remedy.arrangement
        else:
            bench.put_register(register.with_arrangement(remedy.arrangement))

    bench.write(remedy.words, change)
    bench.solve = None


def _written(remedy: Remedy, path: Path, before: Project) -> Project:
    for key, value in remedy.written:
        edit_project(path, key, value)
    reading = read(path)
    if reading.project is None:
        raise RefusedError(f"{remedy.words}: can't be done from here; {reading.findings[0].message}")
    if differences(before, reading.project) != remedy.settings:
        raise RefusedError(f"{remedy.words}: the files have changed since, or say it elsewhere; change it by hand")
    return reading.project
