"""Single changes that would make a project fit, cheapest first, each with its smallest amount and each tried."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.placing.explain.leaving import as_twin, changed, devices_named, rules_of
from layout.placing.explain.stretch import deeper, stretched
from layout.placing.explain.trial import FEW_DEVICES
from layout.placing.fullness import is_over_full
from layout.placing.rule_table import rule_mm
from layout.placing.translation.shallow import deepest

if TYPE_CHECKING:
    from collections.abc import Callable, Container, Iterator, Sequence

    from layout.placing.explain.conflict import Conflict
    from layout.placing.explain.trial import Trying
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

LARGEST_SHARE = 0.5
"""Largest share by which a panel is stretched."""

SMALLER = {
    "face_gap": "smaller gap between faces",
    "hole_gap": "smaller web",
    "edge": "smaller distance from the edge",
    "rear_gap": "smaller gap behind the sheet",
    "ac_dc": "smaller distance of AC from DC behind the sheet",
    "depth_spare": "less spare depth",
}

MOST_LEFT_OUT = 4
"""So many devices of which leaving one out would do are named."""

VAIN_EACH = 6
"""Tries of one kind of change that end without an answer before the next kind has its turn."""

VAIN_OF_MANY = 3
"""Likewise of turns and rules one after another, where no conflict says which, with many devices."""

COARSE = 40
"""With many devices an amount is found to so small a part of the largest: each try costs a second."""

FREE, LESS, DROPPED, GIVEN_UP, BUILT, LEFT_OUT = range(6)
"""Kinds of change by what they cost: a turn, a smaller distance, a rule, reserved room, more panel, a device."""


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
    cost
        What kind of change it is and how large a share of what there is; cheap ones come first.
    project
        The project with it, as far as it was tried: the panels that share devices.
    arrangement
        The one that was found with it.
    whole
        The whole project with it.
    """

    words: str
    amount_mm: int | None
    smallest: bool
    cost: tuple[int, float]
    project: Project
    arrangement: Arrangement
    whole: Project

    def __str__(self) -> str:
        if self.amount_mm is None:
            return self.words
        return f"{self.words} ({'one millimetre less does not do' if self.smallest else 'enough; less may do'})"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tried:
    """A change that was tried and does: how it is made of any project, and what was found with it."""

    words: str
    cost: tuple[int, float]
    make: Callable[[Project], Project]
    arrangement: Arrangement
    amount_mm: int | None = None
    smallest: bool = True


def single_changes(
    project: Project, found: Conflict | None, trying: Trying, *, whole: Project | None = None
) -> tuple[SingleChange, ...]:
    """Return the single changes that make a project fit, cheapest first.

    Parameters
    ----------
    found
        The conflict, whose devices and rules are tried; None tries all.
    whole
        The project that this one is a part of; None where it is all of it.
    """
    kinds = (_turns, _limits, _dropped, _stretches, _depths, _left_out)
    made: list[_Tried] = []
    for kind in kinds:
        is_blind = found is None and len(project.devices) > FEW_DEVICES and kind in (_turns, _dropped)
        vain = VAIN_OF_MANY if is_blind else VAIN_EACH
        made += kind(project, found, replace(trying, patience=vain))
    return tuple(
        SingleChange(
            words=one.words, amount_mm=one.amount_mm, smallest=one.smallest, cost=one.cost, project=one.make(project),
            arrangement=one.arrangement, whole=one.make(whole or project),
        )
        for one in sorted(made, key=lambda one: one.cost)
    )  # fmt: skip


def _turns(project: Project, found: Conflict | None, trying: Trying) -> Iterator[_Tried]:
    if is_over_full(project):
        return
    for key in _names(project, found):
        device = project.devices[key]
        box = device.face.to_path().bounds() if device.face else None
        if box is None or abs(box.width - box.height) < 1e-6 or {0, 90} <= {turn % 180 for turn in device.turns}:
            continue
        if device.pin and device.pin.turn is not None:
            continue
        more = tuple(dict.fromkeys((*device.turns, *((turn + 90) % 360 for turn in device.turns))))

        def freed(one: Project, key: str = key, more: tuple[int, ...] = more) -> Project:
            return replace(one, devices=FrozenMap({**one.devices, key: changed(one.devices[key], turns=more)}))

        arrangement = None if _is_hopeless(freed, found, trying) else trying.fits(freed(project))
        if arrangement is not None:
            words = f"allow {device.name or key} to be turned by 90 degrees"
            yield _Tried(words=words, cost=(FREE, 0.0), make=freed, arrangement=arrangement)


def _limits(project: Project, found: Conflict | None, trying: Trying) -> Iterator[_Tried]:
    blamed = {blamed.member.key for blamed in found.members} if found else None
    for limit, text in SMALLER.items():
        now = rule_mm(project, limit)
        if now <= 0 or (blamed is not None and f"rules.{limit}" not in blamed):
            continue

        def by(one: Project, amount: int, limit: str = limit, now: float = now) -> Project:
            return _cut_limit(one, limit, max(0.0, now - amount), concerned=project)

        least = _least(by, max(1, round(now)), project, found, replace(trying))
        if least is not None:
            words = f"{text}: {now:g} -> {max(0.0, now - least.amount_mm):g} mm"
            yield least.tried(words, (LESS, least.amount_mm / now))


def _cut_limit(project: Project, limit: str, value_mm: float, *, concerned: Project) -> Project:
    """Set a limit everywhere it is larger, with those of the concerned devices and panels that say their own."""

    def less(own: Any, names: Container[str]) -> Any:
        said = {name: getattr(one, limit) for name, one in own.items() if name in names}
        lower = {name: changed(own[name], **{limit: value_mm}) for name, mm in said.items() if (mm or 0.0) > value_mm}
        return FrozenMap({**own, **lower})

    project = replace(project, rules=changed(project.rules, **{limit: value_mm}))
    if limit in ("face_gap", "hole_gap", "edge"):
        project = replace(project, devices=less(project.devices, concerned.devices))
    if limit == "edge":
        project = replace(project, panels=less(project.panels, concerned.panels))
    return project


def _dropped(project: Project, found: Conflict | None, trying: Trying) -> Iterator[_Tried]:
    """Yield every rule without an amount that can be dropped, and every reserved room that can be given up."""
    blamed = {blamed.member.key for blamed in found.members} if found else None
    for member in rules_of(project):
        is_room = ".reserved." in member.key
        if _is_amount(member.key) or not (is_room or blamed is None or member.key in blamed):
            continue
        if blamed is not None and member.key in blamed and _is_hopeless(member.left_out, found, trying):
            continue
        without = member.left_out(project)
        arrangement = None if is_over_full(without) else trying.fits(without)
        if arrangement is None:
            continue
        words = f"give up {member.name}" if is_room else f"without {member.name}"
        cost = (GIVEN_UP if is_room else DROPPED, 0.0)
        yield _Tried(words=words, cost=cost, make=member.left_out, arrangement=arrangement)


def _stretches(project: Project, found: Conflict | None, trying: Trying) -> Iterator[_Tried]:
    for key, panel in project.panels.items():
        box = panel.outline.to_path().bounds()
        called = panel.name or key
        for axis, size, word in ((0, box.width, "wider"), (1, box.height, "taller")):

            def by(one: Project, amount: int, key: str = key, axis: int = axis) -> Project:
                return stretched(one, key, axis=axis, by_mm=amount)

            least = _least(by, round(size * LARGEST_SHARE), project, found, replace(trying))
            if least is not None:
                yield least.tried(f"{called} {least.amount_mm} mm {word}", (BUILT, least.amount_mm / size))


def _depths(project: Project, found: Conflict | None, trying: Trying) -> Iterator[_Tried]:
    blamed = {blamed.member.key for blamed in found.members} if found else None
    for key, panel in project.panels.items():
        deepest_mm = deepest(panel)
        if deepest_mm is None or is_over_full(project) or (blamed is not None and f"panels.{key}.depth" not in blamed):
            continue

        def by(one: Project, amount: int, key: str = key) -> Project:
            return deeper(one, key, by_mm=amount)

        least = _least(by, round(deepest_mm * LARGEST_SHARE), project, found, trying)
        if least is not None:
            words = f"{panel.name or key} {least.amount_mm} mm deeper"
            yield least.tried(words, (BUILT, least.amount_mm / deepest_mm))


def _left_out(project: Project, found: Conflict | None, trying: Trying) -> Iterator[_Tried]:
    """Yield the smallest devices without which the rest fits, found by halving from the largest down."""
    names = set(_names(project, found))
    ranked = sorted(
        ((_area_mm2(project, member.key), member) for member in devices_named(project)), key=lambda one: one[0]
    )
    ranked = [(area_mm2, member) for area_mm2, member in ranked if member.key.partition(".")[2] in names]
    known: dict[str, tuple[str, Arrangement | None]] = {}

    def twin_of(k: int) -> str:
        key = ranked[k][1].key
        return as_twin(project, key.partition(".")[2]) or key

    def does(k: int) -> bool:
        member, twin = ranked[k][1], twin_of(k)
        if twin not in known:
            without = member.left_out(project)
            known[twin] = (member.key, None if is_over_full(without) else trying.fits(without))
        return known[twin][1] is not None

    low, high = -1, len(ranked) - 1
    if not ranked or not does(high):
        return
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if does(middle) else (middle, high)
    helping = [k for k in range(high, len(ranked)) if k in (high, len(ranked) - 1) or does(k)]
    for k in helping[:MOST_LEFT_OUT]:
        area_mm2, member = ranked[k]
        tried, arrangement = known[twin_of(k)]
        if arrangement is not None:
            yield _Tried(
                words=f"leave out {member.name}", cost=(LEFT_OUT, area_mm2), make=member.left_out,
                arrangement=_for_its_twin(arrangement, member.key, tried),
            )  # fmt: skip


def _for_its_twin(arrangement: Arrangement, key: str, tried: str) -> Arrangement:
    """Return the arrangement that leaves a device out, made of the one that leaves its twin out."""
    gone, twin = key.partition(".")[2], tried.partition(".")[2]
    if gone == twin:
        return arrangement
    placed = {twin if name == gone else name: at for name, at in arrangement.placed.items()}
    placed[twin] = replace(placed[twin], device=twin)
    return replace(arrangement, placed=FrozenMap(placed))


def _area_mm2(project: Project, key: str) -> float:
    face = project.devices[key.partition(".")[2]].face
    return face.to_path().area() if face else 0.0


def _is_amount(key: str) -> bool:
    """Say whether a rule has an amount that can be changed: a limit, or the depth of a panel."""
    return key.rpartition(".")[2] in SMALLER or key.endswith(".depth") or key == "rules.fixing_edge"


def _names(project: Project, found: Conflict | None) -> Sequence[str]:
    if found is None:
        return [key for key, device in project.devices.items() if device.panel]
    return [b.member.key.partition(".")[2] for b in found.members if b.member.kind == "device"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Least:
    """The least whole amount that was found to do, and whether one less is proven not to."""

    amount_mm: int
    smallest: bool
    make: Callable[[Project], Project]
    arrangement: Arrangement

    def tried(self, words: str, cost: tuple[int, float]) -> _Tried:
        return _Tried(
            words=words, cost=cost, make=self.make, arrangement=self.arrangement, amount_mm=self.amount_mm,
            smallest=self.smallest,
        )  # fmt: skip


def _is_hopeless(make: Callable[[Project], Project], found: Conflict | None, trying: Trying) -> bool:
    """Say whether the conflict alone is proven to remain with a change, so that the whole need not be tried."""
    return found is not None and replace(trying, patience=1).ruled_out(make(found.project))


def _least(
    by: Callable[[Project, int], Project], most: int, project: Project, found: Conflict | None, trying: Trying
) -> _Least | None:
    """Return the least whole amount of a change that does; None if none does.

    The largest amount is tried first, for what it does not do none does; what areas or the conflict alone rule out is
    not tried.
    """
    arrangements: dict[int, Arrangement] = {}

    def does(amount: int) -> bool:
        arrangement = trying.fits(by(project, amount))
        if arrangement is not None:
            arrangements[amount] = arrangement
        return arrangement is not None

    def is_out(amount: int) -> bool:
        return is_over_full(by(project, amount)) or _is_hopeless(lambda one: by(one, amount), found, trying)

    if is_out(most) or not does(most):
        return None
    low, high = 0, most  # low is ruled out, or is no change at all
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if is_out(middle) else (low, middle)
    few = len(project.devices) <= FEW_DEVICES
    ruled_out, step = low, max(1, (most - low) // (16 if few else 8))
    fine = 1 if few else max(1, (most - low) // COARSE)
    while (amount := min(ruled_out + step, most)) < most and not does(amount):
        low, step = amount, step * 2
    enough = amount
    while enough - low > fine:
        middle = (low + enough) // 2
        low, enough = (low, middle) if does(middle) else (middle, enough)
    is_least = (enough - 1 == ruled_out and ruled_out > 0) or trying.ruled_out(by(project, enough - 1))
    return _Least(
        amount_mm=enough, smallest=is_least, make=lambda one: by(one, enough), arrangement=arrangements[enough]
    )
