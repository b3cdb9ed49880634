"""The order of the electrical work, step by step, with hold points at which somebody signs before it goes on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.ends_list import ends_table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.handover.lists.table import Cell
    from layout.handover.plan import Plan

_COLUMNS = (
    Column(key="step", title="Step", width_mm=12, align="right"),
    Column(key="what", title="What to do", width_mm=150),
    Column(key="see", title="See", width_mm=50),
    Column(key="done", title="Done", width_mm=14, align="centre"),
    Column(key="sign", title="By, date", width_mm=40, blank=True),
)
HOLD = "HOLD. "

_Step = tuple[str, str]
"""What to do, and the chapter that shows it."""


def order_table(plan: Plan) -> Table:
    """Return the steps in order; a hold point is marked and wants a signature before the next step."""
    steps = list(_steps(plan))
    rows: list[dict[str, Cell]] = [
        {"step": number, "what": what, "see": see, "done": "☐", "sign": ""}
        for number, (what, see) in enumerate(steps, start=1)
    ]
    notes = (
        "HOLD: nobody goes on before the one who is responsible has looked and signed. Order: common practice, no "
        "single source.",
    )
    return Table(name="order", title="Order of work", columns=_COLUMNS, rows=tuple(rows), notes=notes)


def _steps(plan: Plan) -> Iterator[_Step]:
    project, wiring = plan.project, plan.wiring
    runs = [run for run in wiring.runs if run.aboard not in ("keep", "remove")]
    yield "Read the findings and settle every open question that concerns a wire.", "Findings, Still to find out"
    yield "Switch off in order, lock off, prove dead.", "Isolation"
    if live := wiring.isolation.live:
        yield f"Mark with tape the {len(live)} things that stay live.", "Isolation"
    yield f"{HOLD}Everything is dead or marked; the one who works holds the keys.", "Isolation"
    gone = [run.number for run in wiring.runs if run.aboard == "remove"]
    if gone:
        yield f"Take out the wires that go: {', '.join(gone)}.", "Wires found aboard"
    if any(panel.work_state != "cut" for panel in project.panels.values()):
        yield "Panels are cut, drilled, finished and dry; devices are on and their screws are tight.", "Workshop book"
    used = [fill for fill in wiring.wireways if fill.cables]
    if used:
        yield "Lay draw lines; measure each way with one and compare before the first cable is cut.", "Wireways"
        yield "Cut cables from the reels in the order of the cut list; put both labels on at once.", "Shopping book"
        yield f"Pull {len(used)} wireways in the order shown, thickest and plugs first; leave a draw line.", "Wireways"
        yield f"{HOLD}Nothing is over-full, no bend is tighter than its cable bears, AC lies apart from DC.", "Wireways"
    yield "Fit holders, bars and blocks; put each fuse as near its source as its row says, and no fuse in yet.", "Fuses"
    ends = plan.once("ends", lambda: ends_table(project, wiring))
    places = dict.fromkeys(str(row["place"]) for row in ends.rows)
    for place in places:
        count = sum(1 for row in ends.rows if row["place"] == place)
        yield f"{place}: crimp, pull, label and land {count} ends.", "Terminals, ends and labels"
    if any(panel.hinge for panel in project.panels.values()):
        yield "Hinged panels: loom tied on both sides of the hinge, loop free over the whole swing.", "Wiring views"
    yield f"{HOLD}Every end is ticked, pulled and torqued; no strand is loose; every label reads right.", "Terminals"
    yield f"Continuity and polarity of {len(runs)} runs, fuses out.", "Test sheet"
    yield "Unplug electronics, insulation between poles and to earth, plug in again.", "Test sheet"
    if any(panel.ac for panel in project.breaker_panels.values()):
        what = "AC, by a licensed person: earth continuity, polarity, one neutral bond, residual-current device."
        yield what, "Test sheet"
    yield f"{HOLD}All values are within their limits and written down.", "Test sheet"
    yield "Battery negative on, then main fuses, then battery switches one at a time; measure each bar.", "Isolation"
    for panel in project.breaker_panels.values():
        if not panel.ac:
            yield f"{panel.name or panel.id}: one way at a time, the smallest first; drop at the load.", "Test sheet"
    for panel in project.breaker_panels.values():
        if panel.ac:
            yield f"{panel.name or panel.id}: by a licensed person, residual-current button first.", "Test sheet"
    yield "Functional tests, each one shown to the owner.", "Test sheet"
    yield f"{HOLD}Everything works, nothing is warm after half an hour at full load; the papers go aboard.", "Cover"
