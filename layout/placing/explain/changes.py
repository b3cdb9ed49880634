"""Single changes that would make a project fit, each with its smallest amount."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.placing.explain.leaving import as_twin, changed, devices_named
from layout.placing.explain.stretch import deeper, stretched
from layout.placing.rule_table import rule_mm
from layout.placing.translation.shallow import deepest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from layout.placing.explain.conflict import Conflict
    from layout.placing.explain.trial import Trying
    from layout.project.model.project import Project

MOST_CHANGES = 0.5
"""Largest share by which a panel is stretched or a limit is cut."""

SMALLER = {
    "gap": "smaller gap between faces",
    "web": "smaller web",
    "edge": "smaller distance from the edge",
    "rear_gap": "smaller gap behind the sheet",
    "ac_dc": "smaller distance of AC from DC behind the sheet",
    "depth_spare": "less spare depth",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SingleChange:
    """One change that makes the project fit, tried and judged.

    Attributes
    ----------
    words
        ``Hinged console 18 mm wider``, ``web 20 -> 14 mm``, ``leave out Sonar screen``.
    amount_mm
        How much; None where it is all or nothing.
    smallest
        Whether one millimetre less is proven not to be enough; else the amount is enough and may be more than needed.
    """

    words: str
    amount_mm: int | None
    smallest: bool

    def __str__(self) -> str:
        if self.amount_mm is None:
            return self.words
        return f"{self.words} ({'one millimetre less does not do' if self.smallest else 'enough; less may do'})"


def single_changes(project: Project, found: Conflict | None, trying: Trying) -> tuple[SingleChange, ...]:
    """Return the single changes that make a project fit, in a fixed order.

    Parameters
    ----------
    found
        The conflict, whose devices and rules are tried; None tries all.
    """
    made = [*_left_out(project, found, trying), *_turns(project, found, trying)]
    made += [*_limits(project, found, trying), *_stretches(project, trying), *_depths(project, found, trying)]
    return tuple(made)


def _stretches(project: Project, trying: Trying) -> Iterator[SingleChange]:
    for key, panel in project.panels.items():
        box = panel.outline.to_path().bounds()
        called = panel.name or key
        for axis, size, word in ((0, box.width, "wider"), (1, box.height, "taller")):

            def by(amount: int, key: str = key, axis: int = axis) -> Project:
                return stretched(project, key, axis=axis, by_mm=amount)

            found = _least(by, round(size * MOST_CHANGES), trying)
            if found is not None:
                amount, smallest = found
                yield SingleChange(words=f"{called} {amount} mm {word}", amount_mm=amount, smallest=smallest)


def _limits(project: Project, found: Conflict | None, trying: Trying) -> Iterator[SingleChange]:
    blamed = {blamed.member.key for blamed in found.members} if found else None
    for limit, text in SMALLER.items():
        now = rule_mm(project, limit)
        if now <= 0 or (blamed is not None and f"rules.{limit}" not in blamed):
            continue

        def by(amount: int, limit: str = limit, now: float = now) -> Project:
            return _cut_limit(project, limit, max(0.0, now - amount))

        least = _least(by, max(1, round(now)), trying)
        if least is not None:
            amount, smallest = least
            words = f"{text}: {now:g} -> {max(0.0, now - amount):g} mm"
            yield SingleChange(words=words, amount_mm=amount, smallest=smallest)


def _cut_limit(project: Project, limit: str, value_mm: float) -> Project:
    """Set a limit everywhere it is larger, with the devices and panels that say their own."""

    def less(own: float | None) -> float | None:
        return None if own is None else min(own, value_mm)

    project = replace(project, rules=changed(project.rules, **{limit: value_mm}))
    if limit in ("gap", "web", "edge"):
        devices = {key: changed(one, **{limit: less(getattr(one, limit))}) for key, one in project.devices.items()}
        panels = project.panels
        if limit == "edge":
            panels = {key: replace(panel, edge=less(panel.edge)) for key, panel in project.panels.items()}
        project = replace(project, devices=FrozenMap(devices), panels=FrozenMap(panels))
    return project


def _turns(project: Project, found: Conflict | None, trying: Trying) -> Iterator[SingleChange]:
    for key in _names(project, found):
        device = project.devices[key]
        box = device.face.to_path().bounds() if device.face else None
        if box is None or abs(box.width - box.height) < 1e-6 or {0, 90} <= {turn % 180 for turn in device.turns}:
            continue
        if device.pin and device.pin.turn is not None:
            continue
        more = tuple(dict.fromkeys((*device.turns, *((turn + 90) % 360 for turn in device.turns))))
        freed = changed(device, turns=more)
        if trying.fits(replace(project, devices=FrozenMap({**project.devices, key: freed}))) is not None:
            yield SingleChange(
                words=f"allow {device.name or key} to be turned by 90 degrees", amount_mm=None, smallest=True
            )


def _left_out(project: Project, found: Conflict | None, trying: Trying) -> Iterator[SingleChange]:
    names = set(_names(project, found))
    known: dict[str, bool] = {}
    for member in devices_named(project):
        key = member.key.partition(".")[2]
        if key not in names:
            continue
        twin = as_twin(project, key)
        fits = known.get(twin) if twin else None
        if fits is None:
            fits = trying.fits(member.left_out(project)) is not None
        if twin:
            known[twin] = fits
        if fits:
            yield SingleChange(words=f"leave out {member.name}", amount_mm=None, smallest=True)
    for blamed in found.members if found else ():
        member = blamed.member
        if member.kind == "rule" and not _is_amount(member.key) and trying.fits(member.left_out(project)) is not None:
            yield SingleChange(words=f"without {member.name}", amount_mm=None, smallest=True)


def _is_amount(key: str) -> bool:
    """Say whether a rule has an amount that can be changed: a limit, or the depth of a panel."""
    return key.rpartition(".")[2] in SMALLER or key.endswith(".depth") or key == "rules.fixing_edge"


def _depths(project: Project, found: Conflict | None, trying: Trying) -> Iterator[SingleChange]:
    blamed = {blamed.member.key for blamed in found.members} if found else None
    for key, panel in project.panels.items():
        deepest_mm = deepest(panel)
        if deepest_mm is None or (blamed is not None and f"panels.{key}.depth" not in blamed):
            continue

        def by(amount: int, key: str = key) -> Project:
            return deeper(project, key, by_mm=amount)

        least = _least(by, round(deepest_mm * MOST_CHANGES), trying)
        if least is not None:
            amount, smallest = least
            yield SingleChange(words=f"{panel.name or key} {amount} mm deeper", amount_mm=amount, smallest=smallest)


def _names(project: Project, found: Conflict | None) -> Sequence[str]:
    if found is None:
        return [key for key, device in project.devices.items() if device.panel]
    return [b.member.key.partition(".")[2] for b in found.members if b.member.kind == "device"]


def _least(by: Callable[[int], Project], most: int, trying: Trying) -> tuple[int, bool] | None:
    """Return the least whole amount that was found to do, and whether one less is proven not to; None if none does."""
    low, step = 0, 4
    while (amount := min(step, most)) > low and trying.fits(by(amount)) is None:
        low, step = amount, step * 2
    if low >= most:
        return None
    enough = min(step, most)
    while enough - low > 1:
        middle = (low + enough) // 2
        if trying.fits(by(middle)) is None:
            low = middle
        else:
            enough = middle
    return enough, trying.ruled_out(by(enough - 1))
