"""Place the devices of a project: pose, search, and let the judge decide."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding, in_order
from layout.light_dataclass import dataclass, field
from layout.placing.by_components import Effort, SolvedComponents, StageLine, solve_components
from layout.placing.formulation import Formulation
from layout.placing.fullness import FULL, area_words, fullness_of, is_over_full
from layout.placing.given_positions import given
from layout.placing.outcome import Placing
from layout.placing.refusal import nowhere
from layout.placing.time_limit import TimeLimit
from layout.placing.translation.cuts import RefusedStanding
from layout.placing.wishes.wanted import COST_PER_MM, room_for_blanks
from layout.placing.words import NO_ARRANGEMENT, NOT_PROVEN, USEFUL, proof_words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from layout.placing.engine.stage_result import Progress, Watch
    from layout.placing.translation.layout_index import GivenPosition
    from layout.project.model.arrangement import Arrangement, Placed, Proof
    from layout.project.model.project import Project

    Shown = Callable[[Mapping[str, Placed]], None]

REFUSED_ROUNDS = 6
"""How often an arrangement that the judge refuses is sent back before it is given up."""


CLOCK = Finding(rule="fit 6", message="the time that was allowed is over, so a second run may differ")
INTERRUPTED = Finding(rule="fit 10", message="the search was stopped by hand; more work may find better")


def place(
    project: Project,
    *,
    seed: int = 1,
    effort: Effort = Effort.NORMAL,
    keep: Iterable[str] = (),
    chosen: Arrangement | None = None,
    progress: Watch | None = None,
    shown: Shown | None = None,
    stop: Callable[[], bool] | None = None,
) -> Placing:
    """Place every device that stands on a panel.

    Parameters
    ----------
    seed, effort
        The same project, seed and effort give the same arrangement.
    keep
        Ids of devices that stay where ``chosen`` has them; the rest is solved around.
    chosen
        The arrangement in the register; cut holes without a pin stay where it has them.
    progress
        Called with each improvement (value in engine cost, see ``COST_PER_MM``); True stops and keeps the best.
    shown
        Called with where each improvement has the devices; the judge has not looked at it yet.
    stop
        Asked now and then, from any thread; True does the same. A ``TimeLimit`` that strikes is told of.

    Returns
    -------
    Placing
        Positions in panel coordinates, mm. Precedence of a position: cut, pinned, kept, solved.
    """
    held, faults = given(project, keep=keep, chosen=chosen)
    if faults:
        return Placing(arrangement=None, findings=faults, proven="nothing was solved")
    return _Placer(
        project=project,
        held=held,
        seed=seed,
        effort=effort,
        chosen=chosen,
        progress=progress,
        shown=shown,
        stop=stop,
    ).run()


@dataclass(slots=True, kw_only=True)
class _Placer:
    project: Project
    held: Mapping[str, GivenPosition]
    seed: int
    effort: Effort
    chosen: Arrangement | None
    progress: Watch | None
    shown: Shown | None
    stop: Callable[[], bool] | None
    log: list[StageLine] = field(default_factory=list)
    faults: list[Finding] = field(default_factory=list)

    def run(self) -> Placing:
        from layout.placing.judge import refusals  # shapely

        if is_over_full(self.project):
            return self._none(SolvedComponents())
        formulation = Formulation(project=self.project, held=self.held)
        for attempt in range(REFUSED_ROUNDS):
            if formulation.safe.problem is None:
                return nowhere(formulation, self.chosen)
            found = solve_components(
                formulation.safe_problem,
                formulation.for_bounds,
                limit=self.effort.limit,
                seed=self.seed,
                watch=self._watching(formulation),
                stop=self.stop,
            )
            self.log += found.log
            if found.interrupted:
                self.faults.append(CLOCK if self._clock_struck else INTERRUPTED)
            if found.positions is None:
                return self._none(found)
            arrangement = self._proven(formulation.arrangement(found.positions, found.costs, seed=self.seed), found)
            findings = self._judged(arrangement)
            refused = refusals(findings)
            if not refused:
                return self._done(arrangement, findings, formulation, found)
            self.faults += [_fault(one) for one in refused]
            more = cuts_of(refused, arrangement, steps=1 << attempt)
            if not more:
                break
            formulation = Formulation(project=self.project, held=self.held, cuts=(*formulation.cuts, *more))
        spoiled = replace(arrangement, proof="not usable", bound=None, gap=None)
        return Placing(
            arrangement=spoiled,
            findings=in_order([*findings, *self.faults, *formulation.wished.findings]),
            proven=proof_words(spoiled),
            log=tuple(self.log),
        )

    def _watching(self, formulation: Formulation) -> Watch | None:
        """Return what is told of each improvement, with the picture of it where one is asked for."""
        tell, show = self.progress, self.shown
        if show is None:
            return tell

        def watch(progress: Progress) -> bool:
            if progress.arrangement is not None:
                show(formulation.safe.placed(progress.arrangement))
            return tell(progress) if tell is not None else False

        return watch

    @property
    def _clock_struck(self) -> bool:
        return isinstance(self.stop, TimeLimit) and self.stop.struck

    def _judged(self, arrangement: Arrangement) -> tuple[Finding, ...]:
        from layout.placing.judge import judge

        return judge(self.project, arrangement, chosen=self.chosen)

    def _proven(self, arrangement: Arrangement, found: SolvedComponents) -> Arrangement:
        proof, gap = proof_of(found.value or 0, found.bound, order_proven=found.order_proven)
        bound = None if found.bound is None else round(found.bound / COST_PER_MM, 2)
        return replace(arrangement, proof=proof, gap=gap, bound=bound, work=found.work, clock_struck=self._clock_struck)

    def _done(
        self, arrangement: Arrangement, findings: tuple[Finding, ...], formulation: Formulation, found: SolvedComponents
    ) -> Placing:
        extra = [*self.faults, *formulation.wished.findings]
        rooms = formulation.rooms(found.positions) if found.positions else ()
        extra += _blanks_not_left(self.project, rooms)
        return Placing(
            arrangement=arrangement,
            findings=in_order([*findings, *extra]),
            proven=proof_words(arrangement),
            log=tuple(self.log),
            rooms=rooms,
        )

    def _none(self, found: SolvedComponents) -> Placing:
        """Say that nothing was found; nothing is shown, for a picture that breaks rules helps nobody."""
        notes, infeasible = list(found.notes), found.infeasible
        over_full = [area_words(load) for load in fullness_of(self.project) if load.share > FULL]
        if over_full:
            notes, infeasible = over_full, True
        words, rule = (NO_ARRANGEMENT, "fit 2") if infeasible else (NOT_PROVEN, "fit 3")
        remedy = "a smaller gap or edge distance, a larger panel, or leave a device out"
        return Placing(
            arrangement=None,
            findings=in_order([Finding(rule=rule, message=": ".join((words, *notes)), remedy=remedy), *self.faults]),
            proven=words,
            infeasible=infeasible,
            log=tuple(self.log),
        )


def proof_of(value: int, bound: int | None, *, order_proven: bool) -> tuple[Proof, float | None]:
    """Return what a bound proves about a value, and the share of the value that it leaves open."""
    gap = None if bound is None else 0.0 if value <= bound else (value - bound) / value
    if gap == 0.0:
        return "optimal", 0.0
    if order_proven:
        return "optimal for this order", gap
    return ("within", gap) if gap is not None and gap <= USEFUL else ("feasible", gap)


def cuts_of(refused: Sequence[Finding], arrangement: Arrangement, *, steps: int) -> list[RefusedStanding]:
    """Return what has to differ next time: the one or two devices of each refusal."""
    everything = {**arrangement.placed, **arrangement.rooms}
    found = []
    for finding in refused:
        names = [key.removeprefix("devices.") for key in finding.subjects]
        placed = tuple(everything[name] for name in dict.fromkeys(names) if name in everything)
        if len(placed) in (1, 2):
            found.append(RefusedStanding(placed=placed, steps=steps))
    return found


def _blanks_not_left(project: Project, rooms: Sequence[Placed]) -> list[Finding]:
    """Note each wished blank for which the arrangement leaves no room."""
    left = {room.device for room in rooms}
    wished = [blank.thing.name for blank in room_for_blanks(project)]
    return [
        Finding(
            rule="fit 9",
            message=f"the wish '{name}' is not met: no room of that size is left",
            at=project.place_of("wishes"),
            remedy="a smaller blank, or a larger weight",
        )
        for name in wished
        if name not in left
    ]


def _fault(refused: Finding) -> Finding:
    return Finding(
        rule="fit 5",
        message=f"the solver offered an arrangement that the judge refused ({refused.rule}): {refused.message}",
        at=refused.at,
        remedy="nothing to do: it was sent back; please report it",
        subjects=refused.subjects,
    )
