"""The flow from a read project to its documents: project -> placing -> wiring -> drawing -> handover.

A thin assembler: every step is a call into one part, and gives frozen values on to the next.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from pathlib import Path

    from layout.drawing.elements.scene import Scene, Underlay
    from layout.findings import Finding
    from layout.handover.files.documents import Written
    from layout.handover.plan import Plan
    from layout.placing.by_components import Effort
    from layout.placing.engine.stage_result import Watch
    from layout.placing.explain.changes import SingleChange
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.project import Project
    from layout.project.register import Register

MISTAKEN = ("fit 7",)
"""What was asked for can't be meant: there is nothing to explain, and nothing is proposed."""

UNEXPLAINED = ("fit 2", "fit 3")
"""That nothing fits, or that nothing was found: an explanation says it better, with names."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arranged:
    """What arranging gave.

    Attributes
    ----------
    arrangements
        From best to worst. One with the proof ``not usable`` is shown, and never kept.
    findings
        What the judge and the search have to say.
    register
        The register given, with what is to be remembered.
    is_first
        Whether the best one became the project's arrangement, because it had none.
    lines
        More to say: how many alternatives are known; why nothing fits and what would help.
    changes
        Where nothing fits, the single changes that would help, cheapest first.
    """

    arrangements: tuple[Arrangement, ...]
    findings: tuple[Finding, ...]
    register: Register
    is_first: bool = False
    lines: tuple[str, ...] = ()
    changes: tuple[SingleChange, ...] = ()


def arrange(
    project: Project,
    register: Register,
    *,
    seed: int = 1,
    effort: Effort | None = None,
    keep: Sequence[str] = (),
    alternatives: int = 1,
    loss: float = 0.15,
    progress: Watch | None = None,
    shown: Callable[[Mapping[str, Placed]], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Arranged:
    """Place a project; the first arrangement that holds all rules is kept, later ones become proposals.

    Parameters
    ----------
    effort
        How long to look; None takes the normal effort.
    keep
        Ids of devices that stay where the chosen arrangement has them.
    alternatives
        How many arrangements that differ in kind are wanted.
    loss
        How much worse than the best they may be, as a share of its value.
    progress, stop
        Told of each improvement; asked now and then whether to end early and keep the best so far.
    shown
        Told where each improvement of the first arrangement has the devices; the judge has not looked at it yet.

    Returns
    -------
    Arranged
        Where nothing fits, with lines on which rules and devices conflict and which single changes would help.
    """
    from layout.placing.by_components import Effort
    from layout.placing.keeping import blame_keeping, kept_too_much
    from layout.placing.place import place

    effort = effort or Effort.NORMAL
    chosen = register.arrangement
    eased = kept_too_much(project, chosen, keep, seed=seed) if chosen is not None and keep else None
    first = eased or place(
        project, seed=seed, effort=effort, keep=keep, chosen=chosen, progress=progress, shown=shown, stop=stop
    )
    best = first.arrangement
    if best is None or best.proof == "not usable":
        from layout.placing.explain import explain

        unusable = () if best is None else (best,)
        if (stop is not None and stop()) or any(one.rule in MISTAKEN for one in first.findings):
            return Arranged(arrangements=unusable, findings=first.findings, register=register)
        why = explain(project, effort=effort, seed=seed, chosen=chosen, proven=first.infeasible, stop=stop)
        told = [one for one in first.findings if one.rule not in UNEXPLAINED or not (why.findings or why.arrangement)]
        if why.arrangement is None:
            return Arranged(
                arrangements=unusable, findings=(*told, *why.findings), register=register, lines=why.lines,
                changes=why.changes,
            )  # fmt: skip
        best, first = why.arrangement, replace(first, findings=(*told, *(blame_keeping() if keep else ())))
    found: tuple[Arrangement, ...] = (best,)
    findings = first.findings
    lines: tuple[str, ...] = ()
    if alternatives > 1 and first.arrangement is best:
        from layout.placing.alternatives import alternatives as several

        more = several(
            project, first, count=alternatives, loss=loss, seed=seed, effort=effort, keep=keep, chosen=chosen,
            stop=stop,
        )  # fmt: skip
        found, findings, lines = more.arrangements, (*findings, *more.findings), more.lines
    kept = register.with_arrangement(found[0]) if chosen is None else register
    return Arranged(
        arrangements=found,
        findings=findings,
        register=kept.with_proposals(found),
        is_first=chosen is None,
        lines=lines,
    )


def plan(
    project: Project,
    arrangement: Arrangement | None = None,
    *,
    register: Register | None = None,
    found: Iterable[Finding] = (),
    measured: tuple[float, float] | None = None,
    rough: bool = False,
) -> Plan:
    """Work out everything that follows from positions: judgement, networks, wiring, energy.

    Parameters
    ----------
    arrangement
        Where the devices stand; None leaves every length on a panel unknown.
    register
        What is remembered: wire numbers, the chosen arrangement, what was issued before; None is an empty one.
    found
        What reading and placing found; it goes on to the documents.
    measured
        What the printer's 100 mm bars measured, across and up; templates are stretched to undo it. None prints at
        nominal size.
    rough
        With no arrangement, reckon lengths as if each device stood in the middle of its panel. For a first look, not
        for paper.

    Returns
    -------
    Plan
        A chosen arrangement that no longer holds the rules is an error among its findings; it is not solved again.

    Raises
    ------
    ValueError
        If a bar measured less than 90 or more than 110 mm: that print was scaled.
    """
    from layout.drawing.template.template_findings import template_findings
    from layout.drawing.template.true_scale import MeasuredPrinter
    from layout.energy.balance import energy_balance
    from layout.findings import in_order
    from layout.handover.plan import Plan
    from layout.network.laid_cables import laid_cables
    from layout.network.networks import fed_by, plan_networks
    from layout.placing.chosen import no_longer_fits, still_standing
    from layout.placing.judge import judge, refusals
    from layout.placing.provisional_arrangement import in_the_middle
    from layout.project.register import Register
    from layout.wiring.wire import wire

    register = register or Register()
    chosen = register.arrangement
    judged = judge(project, arrangement, chosen=chosen) if arrangement is not None else ()
    if chosen is not None and arrangement == chosen:
        judged = (*judged, *no_longer_fits(project, chosen, refusals(judged)))
    if arrangement is not None:
        arrangement = still_standing(project, arrangement)
    printer = MeasuredPrinter(across_mm=measured[0], up_mm=measured[1]) if measured else None
    cutting = template_findings(project, arrangement, measured=printer) if arrangement is not None else ()
    standing = in_the_middle(project) if rough and arrangement is None else arrangement
    networks = plan_networks(project, standing)
    wiring = wire(project, standing, numbers=register.numbers, network_cables=laid_cables(project, networks))
    networks = fed_by(project, networks, wiring)
    energy = energy_balance(project)
    return Plan(
        project=project,
        arrangement=arrangement,
        wiring=wiring,
        networks=networks,
        energy=energy,
        findings=in_order([*found, *judged, *cutting, *wiring.findings, *networks.findings, *energy.findings]),
        issued=register.issued_before(project.project.revision),
        measured=measured,
    )


def with_photographs(plan: Plan, folder: Path) -> Plan:
    """Return the plan with its panels' photographs, read from the project's folder, and what is wrong with them."""
    from layout.drawing.panel.page_photograph import photographs
    from layout.findings import in_order
    from layout.frozen import FrozenMap

    pictures, faults = photographs(plan.project, folder)
    if not pictures and not faults:
        return plan
    return replace(plan, photographs=FrozenMap(pictures), findings=in_order([*plan.findings, *faults]))


def draw(plan: Plan) -> Mapping[str, tuple[Scene, ...]]:
    """Return the drawings of each panel by its id: front, rear and a section, each a sheet in mm.

    A panel on which nothing stands yet has none. ``layout.svg_text`` and ``layout.pdf_bytes`` write them.
    """
    from layout.handover.files.panel_files import panel_scenes

    return {key: panel_scenes(plan, panel) for key, panel in plan.project.panels.items()}


def hand_over(
    plan: Plan, out: Path | str, *, only: Sequence[str] | None = None, fresh: bool = False, remove_stale: bool = False
) -> Written:
    """Write the documents of a plan into a folder.

    Parameters
    ----------
    out
        Folder; made if it is not there. Its ``contents.json`` lists what was made from what: a document that nothing
        reaches is left as it is.
    only
        Names of documents; None writes all.
    fresh
        Make everything again; the bytes are the same.
    remove_stale
        Remove documents of earlier builds that nothing makes any more.

    Returns
    -------
    Written
        The documents in order (``files``), which of them were reused, and which others are stale.

    Raises
    ------
    ValueError
        If ``only`` names no document.
    OSError
        If the folder can't be written; documents that were there stay whole.
    """
    from layout.handover.files.documents import write_documents

    return write_documents(plan, out, only=only, fresh=fresh, remove_stale=remove_stale)


def report(
    plan: Plan,
    out: Path | str,
    *,
    proposals: Sequence[Arrangement] = (),
    photographs: Mapping[str, Underlay] | None = None,
) -> Path:
    """Write ``report.html`` into a folder: one page that opens from disk and asks for nothing.

    Parameters
    ----------
    out
        Folder; made if it is not there.
    proposals
        Alternatives that stand side by side, numbered from 1.
    photographs
        Of panels by their id, in panel mm, as ``layout.drawing.panel.page_photograph`` reads them.

    Raises
    ------
    OSError
        If the folder can't be written; a report that was there stays whole.
    """
    from layout.handover.report.report_page import report_html
    from layout.project.editing.writing import put_into

    page = report_html(plan, proposals, photographs=photographs).encode("utf-8")
    return put_into(out, [("report.html", page)])[0]


def remember(register: Register, plan: Plan) -> Register:
    """Return the register after a plan: new wire numbers, label texts, and what this revision hands over."""
    from layout.handover.plan import keys_in_use, labels_of, state_of

    wiring = plan.wiring
    numbered = register.with_numbers(wiring.numbers, in_use=keys_in_use(wiring))
    return numbered.with_labels(labels_of(wiring)).with_issue(plan.project.project.revision, state_of(plan))
