"""The flow from a read project to its documents: project -> placing -> wiring -> drawing -> handover.

A thin assembler: every step is a call into one part and gives frozen values on to the next.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path

    from layout.drawing.scene import Scene
    from layout.findings import Finding
    from layout.handover.plan import Plan
    from layout.placing.engine.result import Progress
    from layout.placing.search import Work
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.project.register import Register


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """What placing gave: arrangements from best to worst, the register that remembers them, and what to say."""

    arrangements: tuple[Arrangement, ...]
    findings: tuple[Finding, ...]
    register: Register
    is_first: bool = False
    said: tuple[str, ...] = field(default=())


def effort(word: str) -> Work | None:
    """Return the work limit of that name, or None if there is none."""
    from layout.placing.search import Work  # noqa: PLC0415

    return next((work for work in Work if work.value == word), None)


def place(
    project: Project,
    register: Register,
    *,
    seed: int,
    work: Work,
    keep: Sequence[str] = (),
    alternatives: int = 1,
    progress: Callable[[Progress], bool] | None = None,
) -> Placed:
    """Place a project; the first arrangement that holds all rules is kept, later ones become proposals.

    Where nothing fits, the findings say which rules and devices conflict and which single changes would help.
    """
    from layout.placing.place import place as solve  # noqa: PLC0415

    chosen = register.arrangement
    first = solve(project, seed=seed, work=work, keep=keep, chosen=chosen, progress=progress)
    best, findings = first.arrangement, first.findings
    if best is None or best.proof == "not usable":
        from layout.placing.explain import explain  # noqa: PLC0415

        why = explain(project, work=work, seed=seed, chosen=chosen)
        shown = () if best is None else (best,)
        return Placed(arrangements=shown, findings=(*findings, *why.findings), register=register, said=why.lines)
    found: tuple[Arrangement, ...] = (best,)
    said: tuple[str, ...] = ()
    if alternatives > 1:
        from layout.placing.alternatives import alternatives as several  # noqa: PLC0415

        choice = several(project, first, count=alternatives, seed=seed, work=work, keep=keep, chosen=chosen)
        found, said = choice.arrangements, choice.lines
    is_first = chosen is None
    kept = register.with_arrangement(best) if is_first else register
    return Placed(
        arrangements=found, findings=findings, register=kept.with_proposals(found), is_first=is_first, said=said
    )


def planned(project: Project, register: Register, arrangement: Arrangement | None) -> Plan:
    """Work out everything that follows from positions: judgement, wiring, networks, energy."""
    from layout.handover.plan import Plan  # noqa: PLC0415
    from layout.placing.judge import judge  # noqa: PLC0415
    from layout.wiring.energy import energy_balance  # noqa: PLC0415
    from layout.wiring.net.networks import plan_networks  # noqa: PLC0415
    from layout.wiring.wire import wire  # noqa: PLC0415

    judged = judge(project, arrangement, chosen=register.arrangement) if arrangement else ()
    wiring = wire(project, arrangement, numbers=register.numbers)
    networks = plan_networks(project, arrangement)
    energy = energy_balance(project)
    findings = (*judged, *wiring.findings, *networks.findings, *energy.findings)
    return Plan(
        project=project, arrangement=arrangement, wiring=wiring, networks=networks, energy=energy, findings=findings
    )


def documents(
    plan: Plan,
    register: Register,
    findings: Iterable[Finding],
    out: Path,
    *,
    only: Sequence[str] | None = None,
    measured: tuple[float, float] | None = None,
) -> tuple[Path, ...]:
    """Write the documents of a plan into a folder and return them in order.

    Parameters
    ----------
    findings
        Everything found, those of reading included; errors overprint or withhold what they concern.
    only
        Names of documents; None writes all.
    measured
        What the printer's 100 mm bars measured, across and up; templates are stretched to undo it.

    Raises
    ------
    OSError
        If the folder can't be written; documents that were there stay whole.
    """
    from layout.handover.documents import write_documents  # noqa: PLC0415
    from layout.handover.plan import work_of  # noqa: PLC0415

    work = work_of(plan, issued_before(register, plan), findings, measured=measured)
    return write_documents(work, out, only=only)


def issued_before(register: Register, plan: Plan) -> str | None:
    """Return the state of the last revision before the present one, or None if there is none."""
    others = [state for revision, state in register.issued.items() if revision != plan.project.project.revision]
    return others[-1] if others else None


def remembered(register: Register, plan: Plan) -> Register:
    """Return the register after a build: new wire numbers, label texts, and what this revision hands over."""
    from layout.handover.plan import keys_in_use, labels_of, state_of  # noqa: PLC0415

    wiring = plan.wiring
    numbered = register.with_numbers(wiring.numbers, in_use=keys_in_use(wiring))
    return numbered.with_labels(labels_of(wiring)).with_issue(plan.project.project.revision, state_of(plan))


def printcheck(paper: str, out: Path) -> Path:
    """Write the page that a printer's scale is measured on.

    Raises
    ------
    ValueError
        If no paper has that name.
    """
    from layout.drawing.printcheck import printcheck_scene  # noqa: PLC0415

    return _one_page(printcheck_scene(paper), f"printcheck-{paper}.pdf", "Print check", out)


def overlay(project: Project, device: str, out: Path) -> Path:
    """Write one device's own template, to compare with its maker's paper."""
    from layout.drawing.overlay import overlay_scene  # noqa: PLC0415

    return _one_page(overlay_scene(project, device), f"overlay-{device}.pdf", f"Template of {device}", out)


def _one_page(scene: Scene, name: str, title: str, out: Path) -> Path:
    from layout.drawing.pdf import DocumentInfo, pdf_bytes  # noqa: PLC0415
    from layout.handover.documents import replace_file  # noqa: PLC0415

    out.mkdir(parents=True, exist_ok=True)
    return replace_file(out / name, pdf_bytes([scene], DocumentInfo(title=title)))
