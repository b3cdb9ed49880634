"""The order of work at the panel, step by step, and the tools it takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements.numerals import mm, tool_size
from layout.drawing.template.relief_holes import Helper, helpers
from layout.drawing.template.sheet_strength import close_fixings
from layout.drawing.template.tools import Choice, Owned, choose_tool
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    Task = tuple[str, str, Sequence[str]]

    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.rebates import SheetRebate
    from layout.project.model.panel import Panel


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleJob:
    """One hole with its tool and its helping holes."""

    hole: Hole
    choice: Choice
    helpers: tuple[Helper, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """One step of the work: what to do, with which tool, at which holes."""

    number: int
    what: str
    tool: str = ""
    marks: tuple[str, ...] = ()


def jobs(holes: Iterable[Hole], tools: Owned) -> tuple[HoleJob, ...]:
    """Return every hole still to be made with its tool; helping holes where one tool alone does not do it."""
    found = []
    for hole in holes:
        if hole.done:
            continue
        choice = choose_tool(hole, tools)
        needs = choice.tool in {"jigsaw", "chain drill"}
        found.append(HoleJob(hole=hole, choice=choice, helpers=helpers(hole, tools) if needs else ()))
    return tuple(found)


def order_of_work(
    work: Sequence[HoleJob], panel: Panel, *, side: str, rebates: Sequence[SheetRebate] = ()
) -> tuple[_Step, ...]:  # fmt: skip
    """Return the steps: rebates first, small holes while the sheet is stiff, saws next, the large cut-outs last.

    A rebate is cut while its middle still carries the router.

    Holes whose size is not confirmed appear in no cutting step.
    """
    sure = [job for job in work if job.hole.confirmed]
    unsure = [job.hole.mark for job in work if not job.hole.confirmed]
    unsure += [step.mark for step in rebates if not step.confirmed]
    corner = "left" if side == "front" else "right"
    seal = "Seal every cut edge" if panel.material in {"plywood", "solid wood"} else "Break every cut edge"
    tasks: list[Task] = [
        ("Measure the bars on every sheet, join the sheets, measure the crosses. Over the limit: do not cut.", "", ()),
        (f"Lay the template on the {side} of the sheet, datum at the lower {corner} corner. Hold each device and its"
         " maker's template against it.", "", ()),
    ]  # fmt: skip
    if unsure:
        tasks.append(("DO NOT CUT: sizes are not confirmed. Measure, enter the sizes, print again.", "", unsure))
    centres = "Prick all centres through the template"
    tasks.append((f"{centres}, but none that is marked DO NOT CUT." if unsure else f"{centres}.", "awl", ()))
    late = {web.first for web in close_fixings([job.hole for job in work])}
    early = [job for job in sure if job.hole.mark not in late]
    tasks += _stepped([step for step in rebates if step.confirmed], side)
    tasks += [*_drilled(early), *_sawn(sure), *_cut(sure), *_by_hand(sure)]
    tasks += [
        (f"{what} Now that the device was tried in: they stand close to its cut-out.", tool, marks)
        for what, tool, marks in _drilled([job for job in sure if job.hole.mark in late])
    ]
    if toolless := [f"{job.hole.mark} {job.hole.size}" for job in sure if job.choice.tool == "none"]:
        tasks.append(("No tool at hand makes these: get one before starting.", "", toolless))
    tasks.append((f"{seal}. Try every device before finishing.", "", ()))
    return tuple(
        _Step(number=number, what=what, tool=tool, marks=tuple(marks))
        for number, (what, tool, marks) in enumerate(tasks, start=1)
    )


def _stepped(sure: Sequence[SheetRebate], side: str) -> Iterator[Task]:
    """Yield the rebates, by depth."""
    over = "" if side == "front" else "Turn the sheet: rebates are on its front. "
    for depth in sorted({step.depth_mm for step in sure}):
        marks = [step.mark for step in sure if step.depth_mm == depth]
        what = f"{over}Rebate {mm(depth)} mm deep up to the line, while its middle still carries the router. Try it on"
        yield f"{what} waste first; square the corners with a chisel where the face is square.", "router", marks


def tool_list(work: Sequence[HoleJob], rebates: Sequence[SheetRebate] = ()) -> tuple[str, ...]:
    """Return the tools the work takes, each once, drills first, small to large."""
    drills: set[float] = set()
    saws: set[float] = set()
    others = {"router"} if any(step.confirmed for step in rebates) else set[str]()
    for job in work:
        if not job.hole.confirmed:
            continue
        if job.choice.tool == "drill" and job.choice.diameter_mm:
            drills.add(job.choice.diameter_mm)
        elif job.choice.tool == "hole saw" and job.choice.diameter_mm:
            saws.add(job.choice.diameter_mm)
        else:
            others.add(job.choice.tool)
        for helper in job.helpers:
            (drills if helper.tool == "drill" else saws).add(helper.diameter_mm)
        if job.hole.fixing and job.hole.fixing.kind == "tapped":
            others.add(f"tap {job.hole.fixing.thread}".strip())
        if job.choice.open_by_mm or any(helper.rest_mm for helper in job.helpers):
            others.add("file")
    lines = []
    if drills:
        lines.append("Drills: " + ", ".join(tool_size(d) for d in sorted(drills)))
    if saws:
        lines.append("Hole saws: " + ", ".join(tool_size(d) for d in sorted(saws)))
    if others - {"none"}:
        lines.append("Also: " + ", ".join(sorted(others - {"none"})))
    lines.append("Awl, steel rule of 300 mm or more, low-tack film or paper, tape")
    return tuple(lines)


def _drilled(sure: Sequence[HoleJob]) -> Iterator[Task]:
    """Yield the drilling: fixings and small cut-outs small to large, then helping holes."""
    groups: dict[tuple[float, str], list[str]] = {}
    for job in sure:
        if job.choice.tool == "drill" and job.choice.diameter_mm is not None:
            groups.setdefault((job.choice.diameter_mm, job.hole.use), []).append(job.hole.mark)
    for (size, use), marks in sorted(groups.items()):
        yield f"Drill: {use} holes.", f"drill {tool_size(size)}", marks
    tapped = [job.hole for job in sure if job.hole.fixing and job.hole.fixing.kind == "tapped"]
    for thread in sorted({hole.fixing.thread for hole in tapped if hole.fixing}):
        yield "Tap.", f"tap {thread}".strip(), [h.mark for h in tapped if h.fixing and h.fixing.thread == thread]
    for size in sorted({h.diameter_mm for job in sure for h in job.helpers if h.tool == "drill"}):
        marks = [j.hole.mark for j in sure if any(h.diameter_mm == size and h.tool == "drill" for h in j.helpers)]
        yield "Drill relief, starting and chain holes, wholly inside the line.", f"drill {tool_size(size)}", marks


def _sawn(sure: Sequence[HoleJob]) -> Iterator[Task]:
    """Yield the hole saws, small to large."""
    groups: dict[float, list[str]] = {}
    for job in sure:
        if job.choice.tool == "hole saw" and job.choice.diameter_mm is not None:
            groups.setdefault(job.choice.diameter_mm, []).append(job.hole.mark)
        for size in sorted({h.diameter_mm for h in job.helpers if h.tool == "hole saw"}):
            groups.setdefault(size, []).append(f"{job.hole.mark} at its corners")
    for size, marks in sorted(groups.items()):
        yield "Saw until the pilot drill shows, finish from the other side.", f"hole saw {tool_size(size)}", marks


def _cut(sure: Sequence[HoleJob]) -> Iterator[Task]:
    """Yield jigsaw and chain work, small cut-outs first."""
    ordered = sorted(sure, key=lambda job: (abs(job.hole.path.area()), job.hole.mark))
    if marks := [job.hole.mark for job in ordered if job.choice.tool == "jigsaw"]:
        yield "Cut inside the line, small ones first. File to the line.", "jigsaw", marks
    if marks := [job.hole.mark for job in ordered if job.choice.tool == "chain drill"]:
        yield "Break out along the chain of holes. File to the line.", "chisel, file", marks


def _by_hand(sure: Sequence[HoleJob]) -> Iterator[Task]:
    """Yield what files take away: round holes to be opened, corners to be sharpened."""
    if opened := [job for job in sure if job.choice.open_by_mm]:
        marks = [f"{job.hole.mark} by {mm(job.choice.open_by_mm)} mm to {job.hole.size}" for job in opened]
        yield "Open out to size.", "half-round file", marks
    if sharp := [job for job in sure if any(helper.rest_mm > 0.05 for helper in job.helpers)]:
        marks = [f"{job.hole.mark} to {_corner(job.hole)}" for job in sharp]
        yield "File the corners to their radius.", "file", marks


def _corner(hole: Hole) -> str:
    return f"R{mm(hole.corner_mm)}" if hole.corner_mm else "square"
