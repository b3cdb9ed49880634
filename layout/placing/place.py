"""Place the devices of a project: build, search, and let the judge decide."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding, in_order
from layout.placing.build.cuts import Cut
from layout.placing.build.pieces import Side
from layout.placing.build.problem import Built, build
from layout.placing.holding import given
from layout.placing.search import Found, Step, Work, search
from layout.placing.wishes.terms import terms
from layout.placing.wishes.wanted import COST_PER_MM, by_name, room_for_blanks
from layout.placing.wishes.wishing import Terms
from layout.placing.words import USEFUL, proof_words
from layout.project.model.arrangement import Arrangement

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.placing.build.plan import Held
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.result import Watch
    from layout.project.model.arrangement import Placed, Proof
    from layout.project.model.project import Project

ROUNDS = 6
"""How often an arrangement that the judge refuses is sent back before it is given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """Outcome of placing.

    Attributes
    ----------
    arrangement
        None when none was found; one that breaks rules has the proof ``not usable``.
    findings
        The judge's about the arrangement, and what placing itself has to say.
    proven
        What is proven, in words; or what is not.
    infeasible
        Whether it is proven that no arrangement holds all rules.
    log
        What each stage reached, in order.
    blanks
        Blanks that were wished for and are left, and reserved room that was found: name to where its centre lies.
    """

    arrangement: Arrangement | None
    findings: tuple[Finding, ...]
    proven: str
    infeasible: bool = False
    log: tuple[Step, ...] = ()
    blanks: tuple[Placed, ...] = ()


def place(
    project: Project,
    *,
    seed: int = 1,
    work: Work = Work.NORMAL,
    keep: Iterable[str] = (),
    chosen: Arrangement | None = None,
    progress: Watch | None = None,
) -> Placing:
    """Place every device that stands on a panel.

    Parameters
    ----------
    seed, work
        The same project, seed and work give the same arrangement, unless the clock ended the work (which is said).
    keep
        Ids of devices that stay where ``chosen`` has them; the rest is solved around.
    chosen
        The arrangement in the register; cut holes without a pin stay where it has them.
    progress
        Called with each improvement (value in engine cost, see ``COST_PER_MM``); True stops and keeps the best.

    Returns
    -------
    Placing
        Positions in panel coordinates, mm. Precedence of a position: cut, pinned, kept, solved.
    """
    held, faults = given(project, keep=keep, chosen=chosen)
    if faults:
        return Placing(arrangement=None, findings=faults, proven="nothing was solved")
    placer = _Placer(project=project, held=held, seed=seed, work=work, chosen=chosen, progress=progress)
    return placer.run()


@dataclass(slots=True, kw_only=True)
class _Placer:
    project: Project
    held: dict[str, Held]
    seed: int
    work: Work
    chosen: Arrangement | None
    progress: Watch | None
    log: list[Step] = field(default_factory=list)
    faults: list[Finding] = field(default_factory=list)

    def run(self) -> Placing:
        cuts: list[Cut] = []
        for attempt in range(ROUNDS):
            safe, wished = self._built(Side.SAFE, cuts)
            if safe.problem is None:
                return self._refused(safe)
            loose, _ = self._built(Side.LOOSE, ())
            found = search(
                safe.wishing(wished.terms),
                self._loose(loose, safe, wished),
                limit=self.work.limit,
                seed=self.seed,
                watch=self.progress,
            )
            self.log += found.log
            if found.positions is None:
                return self._none(found, safe)
            arrangement = self._arrangement(found, safe)
            findings = self._judged(arrangement)
            from layout.placing.judge.judge import refusals  # noqa: PLC0415

            refused = refusals(findings)
            if not refused:
                return self._done(arrangement, findings, safe, found, wished)
            more = _cuts(refused, arrangement, steps=1 << attempt)
            self.faults += [_fault(one) for one in refused]
            if not more:
                break
            cuts += more
        spoiled = replace(arrangement, proof="not usable", bound=None, gap=None)
        return Placing(
            arrangement=spoiled,
            findings=in_order([*findings, *self.faults, *wished.findings]),
            proven=proof_words(spoiled),
            log=tuple(self.log),
        )

    def _built(self, side: Side, cuts: Sequence[Cut]) -> tuple[Built, Terms]:
        rooms = room_for_blanks(self.project)
        built = build(
            self.project,
            side=side,
            held=self.held,
            cuts=cuts,
            optional={room.thing.name: room.cost for room in rooms},
            extra=[room.thing for room in rooms],
        )
        return built, terms(self.project, built) if built.problem is not None else Terms()

    def _loose(self, loose: Built, safe: Built, wished: Terms) -> Problem:
        if loose.problem is None:
            return safe.wishing(wished.terms)
        return loose.wishing(terms(self.project, loose).terms)

    def _judged(self, arrangement: Arrangement) -> tuple[Finding, ...]:
        from layout.placing.judge.judge import judge  # noqa: PLC0415  (shapely)

        return judge(self.project, arrangement, chosen=self.chosen)

    def _arrangement(self, found: Found, safe: Built) -> Arrangement:
        if found.positions is None or found.value is None:
            raise ValueError("there is no arrangement to describe")
        placed = {k: v for k, v in safe.placed(found.positions).items() if k in self.project.devices}
        proof, gap = _proof(found)
        return Arrangement(
            placed=placed,
            value=round(found.value / COST_PER_MM, 2),
            by_wish=by_name(found.costs),
            proof=proof,
            bound=None if found.bound is None else round(found.bound / COST_PER_MM, 2),
            gap=gap,
            grid=0.5,
            seed=self.seed,
            clock_struck=found.clock_struck,
            digest=digest(self.project),
        )

    def _done(
        self, arrangement: Arrangement, findings: tuple[Finding, ...], safe: Built, found: Found, wished: Terms
    ) -> Placing:
        extra = [*self.faults, *wished.findings]
        if arrangement.clock_struck:
            extra.append(Finding(rule="SOL006", message="the clock ended the search, so a second run may differ"))
        placed = safe.placed(found.positions) if found.positions else {}
        return Placing(
            arrangement=arrangement,
            findings=in_order([*findings, *extra]),
            proven=proof_words(arrangement),
            log=tuple(self.log),
            blanks=tuple(one for name, one in placed.items() if name not in self.project.devices),
        )

    def _refused(self, safe: Built) -> Placing:
        loose, _ = self._built(Side.LOOSE, ())
        proven = {one.device for one in loose.refused}
        findings = [_nowhere(self.project, one.device, one.rules, proven=one.device in proven) for one in safe.refused]
        sure = any(one.device in proven for one in safe.refused)
        words = "no arrangement exists" if sure else "no arrangement was found, and none is proven impossible"
        return Placing(arrangement=None, findings=in_order(findings), proven=words, infeasible=sure)

    def _none(self, found: Found, safe: Built) -> Placing:
        if found.infeasible:
            finding = Finding(
                rule="SOL002",
                message="no arrangement holds all rules: that is proven on the grid for these shapes",
                remedy="ask spile why: it names what conflicts and what would make it fit",
            )
            words = "no arrangement exists on the grid for these shapes"
        else:
            finding = Finding(
                rule="SOL003",
                message="no arrangement was found that holds all rules, and none is proven impossible",
                remedy="allow more work, or ask spile what conflicts",
            )
            words = "no arrangement was found, and none is proven impossible"
        shown = None
        if found.nearest is not None:
            placed = {k: v for k, v in safe.placed(found.nearest).items() if k in self.project.devices}
            shown = Arrangement(
                placed=placed, proof="not usable", grid=0.5, seed=self.seed, digest=digest(self.project)
            )
        judged = self._judged(shown) if shown else ()
        return Placing(
            arrangement=shown,
            findings=in_order([finding, *judged, *self.faults]),
            proven=words,
            infeasible=found.infeasible,
            log=tuple(self.log),
        )


def _proof(found: Found) -> tuple[Proof, float | None]:
    value, bound = found.value or 0, found.bound
    gap = None
    if bound is not None:
        gap = 0.0 if value <= bound else (value - bound) / value
    if gap == 0.0:
        return "optimal", 0.0
    if found.order_proven:
        return "optimal for this order", gap
    return ("within", gap) if gap is not None and gap <= USEFUL else ("feasible", gap)


def _nowhere(project: Project, name: str, rules: Sequence[str], *, proven: bool) -> Finding:
    device = project.devices.get(name)
    called = device.name or name if device else name
    why = " and ".join(rules) or "the rules"
    sure = "fits nowhere" if proven else "was found no place"
    return Finding(
        rule="SOL001",
        message=f"{called} {sure} on its panel, even alone: {why} keeps it off",
        at=project.place_of(f"devices.{name}"),
        remedy="a larger or deeper panel, a smaller distance, or another turn",
        subjects=(f"devices.{name}",),
    )


def _cuts(refused: Sequence[Finding], arrangement: Arrangement, *, steps: int) -> list[Cut]:
    """Return what has to differ next time: the one or two devices of each refusal."""
    found = []
    for finding in refused:
        names = [key.partition(".")[2] for key in finding.subjects if key.startswith("devices.")]
        placed = tuple(arrangement.placed[name] for name in dict.fromkeys(names) if name in arrangement.placed)
        if len(placed) in (1, 2):
            found.append(Cut(placed=placed, steps=steps))
    return found


def _fault(refused: Finding) -> Finding:
    return Finding(
        rule="SOL005",
        message=f"the solver offered an arrangement that the judge refused ({refused.rule}): {refused.message}",
        at=refused.at,
        remedy="nothing to do: it was sent back; please report it",
        subjects=refused.subjects,
    )


def digest(project: Project) -> str:
    """Return a short digest of all that placing looks at: panels, devices, rules, wishes and what pulls."""
    parts = (
        project.panels,
        project.devices,
        project.rules,
        project.wishes,
        project.circuits,
        project.feeders,
        project.distribution,
    )
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:16]


__all__ = ["Placing", "Work", "digest", "place"]
