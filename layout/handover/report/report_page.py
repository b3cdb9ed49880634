"""The report: one HTML file that opens from disk, asks for nothing, and shows a plan to somebody who has no spile."""

from __future__ import annotations

import hashlib
from base64 import b64encode
from dataclasses import replace
from importlib.resources import files
from typing import TYPE_CHECKING

from layout.drawing.elements.scene import Text, scene_leaves
from layout.drawing.panel.panel_picture import panel_picture, picture_view
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.paper.stamp import INVENTED
from layout.drawing.writers.svg import font_face, svg_element
from layout.findings import Severity, in_order
from layout.handover.documents import DOCUMENTS
from layout.handover.lists.findings_list import COLUMNS as FINDING_COLUMNS
from layout.handover.lists.table import Column, Table
from layout.handover.paper.cautions import cautions
from layout.handover.report.alternative_cards import alternative_cards
from layout.handover.report.html_tables import html_table
from layout.handover.report.markup import Markup, element, joined_markup
from layout.handover.report.subjects import Subjects
from layout.languages import spoken, spoken_language
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from layout.drawing.elements.scene import Scene, Underlay
    from layout.handover.document import Document
    from layout.handover.lists.table import Cell
    from layout.handover.plan import Plan
    from layout.project.model.arrangement import Arrangement

FULL_SIZE = ("mock-up", "labels")
"""Documents whose sheets are for printing at full size, and say nothing on a screen."""

OWN_TABLE = ("findings", "panel-findings")
"""Documents whose list stands on the page in a form of its own, each finding with what it concerns."""

PURPOSE = (
    "To look at and to talk about, not for cutting or wiring: that is what the books are for. Names, numbers and codes"
    " are those of the books, so write back with the one you mean."
)
NOTHING_PLACED = "Nothing is placed yet: there is no panel to show, and lengths on panels are not known."
ON_PHOTOGRAPH = "laid under it by three points, with its perspective: for the look, not for measuring"
HOW_TO_LIGHT = "Choose a wire, a device or a finding anywhere on this page, and it lights up here and on the drawings."


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A panel on the page: its id, its picture, and its photograph in mm of the picture."""

    panel: str
    picture: Scene
    photograph: Underlay | None


def report_html(
    plan: Plan, proposals: Sequence[Arrangement] = (), *, photographs: Mapping[str, Underlay] | None = None
) -> str:
    """Return the page.

    Parameters
    ----------
    proposals
        Alternatives, numbered from 1 in the order given.
    photographs
        Of panels by their id, in panel mm.

    Returns
    -------
    str
        HTML with style, script, drawings and font inside. Its policy of content forbids every request.
    """
    with spoken(plan.language):
        return _in_language(plan, proposals, photographs or {})


def _in_language(plan: Plan, proposals: Sequence[Arrangement], photographs: Mapping[str, Underlay]) -> str:
    subjects = Subjects(plan)
    cards, scenes = alternative_cards(plan.project, proposals, plan.arrangement, subjects)
    shown = _panels(plan, subjects, photographs)
    scenes += [one.picture for one in shown]
    drawn = [(one, one.sheets_of(plan)) for one in DOCUMENTS if one.name not in FULL_SIZE]
    drawn = [(one, sheets) for one, sheets in drawn if sheets]
    scenes += [scene for _, sheets in drawn for scene in sheets]
    sections = [
        ("alternatives", "Alternatives", cards),
        (
            "panels",
            "The panel" if len(plan.project.panels) == 1 else "The panels",
            _panel_section(plan, subjects, shown),
        ),
        ("findings", "Findings", _findings(plan, subjects)),
        (
            "drawings",
            "Drawings",
            joined_markup(_drawings(one, sheets, subjects, at) for at, (one, sheets) in enumerate(drawn)),
        ),
        ("lists", "Lists", joined_markup(_lists(plan, subjects))),
        ("cautions", "Cautions", _cautions(plan)),
    ]
    return _page(plan, [section for section in sections if section[2]], scenes)


def _page(plan: Plan, sections: Sequence[tuple[str, str, Markup]], scenes: Iterable[Scene]) -> str:
    head, script = plan.project.project, Markup(_shipped("report.js"))
    style = _shipped("report.css") + font_face(
        item for scene in scenes for item in scene_leaves(scene.items) if isinstance(item, Text)
    )
    digest = b64encode(hashlib.sha256(script.encode()).digest()).decode()
    policy = (
        f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; font-src data:; img-src data:;"
        " base-uri 'none'; form-action 'none'"
    )
    known = [head.number, f"revision {head.revision}", head.date, head.owner]
    top = element(
        "header",
        element("h1", head.name or "Report"),
        element("p", ", ".join(part for part in known if part)),
        *([element("p", INVENTED, class_="invented")] if head.example else []),
        element("p", PURPOSE),
        element("nav", element("ul", *(element("li", element("a", t, href=f"#{id_}")) for id_, t, _ in sections)),
                aria_label="Sections"),
    )  # fmt: skip
    main = element("main", *(element("section", element("h2", t), body, id=id_) for id_, t, body in sections))
    lit = element(
        "div",
        element("p", "", id="lit-name", role="status"),
        element("button", "Next place", type="button", id="lit-next"),
        element("button", "Put out", type="button", id="lit-out"),
        id="lit", hidden=True, data_lit="Lit: {}", data_only="Only rows with ", data_of="{} of {}",
    )  # fmt: skip
    page = element(
        "html",
        element(
            "head",
            element("meta", charset="utf-8"),
            element("meta", http_equiv="Content-Security-Policy", content=policy),
            element("meta", name="viewport", content="width=device-width, initial-scale=1"),
            element("meta", name="color-scheme", content="light dark"),
            element("title", f"{head.name or 'Panel'}: report"),
            element("link", rel="icon", href="data:,"),
            element("style", Markup(style)),
        ),
        element("body", top, main, lit, element("script", script)),
        lang=spoken_language().code,
    )
    return f"<!DOCTYPE html>\n{page}\n"


def _shipped(name: str) -> str:
    return files("layout.handover.report").joinpath(name).read_text("utf-8")


def _panels(plan: Plan, subjects: Subjects, photographs: Mapping[str, Underlay]) -> list[Shown]:
    """Return the picture of every panel that something stands on."""
    if plan.arrangement is None:
        return []
    found = []
    for key in plan.project.panels:
        shapes = panel_shapes(plan.project, plan.arrangement, key)
        if not shapes.devices:
            continue
        under = photographs.get(key)
        picture = panel_picture(shapes, subjects.ways_on(key), surroundings=under is not None)
        if under is not None:
            view = picture_view(shapes, surroundings=True)
            scaled = [value * view.scale for value in under.matrix]
            a, b, c, d, e, f = scaled
            under = replace(under, matrix=(a, b, c, d, e + view.at[0], f + view.at[1]))
        found.append(Shown(panel=key, picture=picture, photograph=under))
    return found


def _figure(shown: Shown, number: int) -> Markup:
    svg = Markup(svg_element(shown.picture, prefix=f"p{number}-", underlay=shown.photograph))
    caption: list[str] = [f"{shown.picture.title}, seen from the front"]
    if shown.photograph is not None:
        switch = element("input", type="checkbox", checked=True, class_="photograph")
        caption = [*caption, ". ", element("label", switch, " On its photograph"), f" ({ON_PHOTOGRAPH})"]
    kind = "paper panel" if shown.photograph is None else "paper panel on-photograph"
    return element(
        "figure", element("div", svg, class_=kind), element("figcaption", *caption), id=f"panel-{shown.panel}"
    )


def _panel_section(plan: Plan, subjects: Subjects, shown: Sequence[Shown]) -> Markup:
    if not shown:
        return element("p", NOTHING_PLACED) if plan.project.panels else Markup()
    figures = [_figure(one, number) for number, one in enumerate(shown)]
    return joined_markup([element("p", HOW_TO_LIGHT), *figures, html_table(_standing(plan, subjects), subjects)])


def _standing(plan: Plan, subjects: Subjects) -> Table:
    """Return what stands on the panels: numbers as on the drawings, wires, and what was found."""
    columns = (
        Column(key="panel", title="Panel", width_mm=30),
        Column(key="number", title="Mark", width_mm=10, align="right"),
        Column(key="name", title="Device", width_mm=40),
        Column(key="wires", title="Wires", width_mm=90),
        Column(key="findings", title="Findings", width_mm=26),
    )
    found = in_order(plan.found)
    rows: list[dict[str, Cell]] = []
    for key in plan.project.panels:
        assert plan.arrangement is not None  # a panel is shown
        shapes = panel_shapes(plan.project, plan.arrangement, key)
        for device in shapes.devices:
            subject = f"devices.{device.device.id}"
            wires = [lit.partition(".")[2] for lit in subjects.lights(subject) if lit != subject]
            codes = [
                element("a", finding.rule, href=f"#finding-{at}")
                for at, finding in enumerate(found, start=1)
                if subject in finding.subjects
            ]
            rows.append({
                "panel": shapes.name, "number": device.number, "name": subjects.link(subject),
                "wires": " ".join(wires), "findings": joined_markup(codes, ", "),
            })  # fmt: skip
    return Table(name="standing", title="What stands on the panels", columns=columns, rows=tuple(rows))


def _findings(plan: Plan, subjects: Subjects) -> Markup:
    found = in_order(plan.found)
    if not found:
        return element("p", "Nothing was found.")
    kept = {column.key: column for column in FINDING_COLUMNS}
    columns = (
        kept["severity"], kept["code"], kept["message"], kept["remedy"], Column(key="concerns", title="Concerns")
    )  # fmt: skip
    rows: list[dict[str, Cell]] = [
        {
            "severity": finding.weight.value, "code": finding.rule, "message": finding.message,
            "remedy": finding.remedy or "",
            "concerns": joined_markup([subjects.link(one) for one in finding.subjects], ", "),
        }
        for finding in found
    ]  # fmt: skip
    bad = frozenset(at for at, finding in enumerate(found) if finding.weight is Severity.STOP)
    table = Table(name="findings", title="Findings", columns=columns, rows=tuple(rows), faulty=bad)
    counts = [(weight.value, sum(one.weight is weight for one in found)) for weight in Severity]
    said = ", ".join(f"{count} {word}" for word, count in counts if count)
    return joined_markup([
        element("p", f"{said}. stop: not to be worked from. watch: look before you go on. note: know it."),
        html_table(table, subjects, ids={at: f"finding-{at + 1}" for at in range(len(found))}),
    ])  # fmt: skip


def _drawings(document: Document, sheets: Sequence[Scene], subjects: Subjects, at: int) -> Markup:
    figures = [
        element(
            "div", Markup(svg_element(scene, prefix=f"d{at}-{number}-", subjects=subjects.words)), class_="paper sheet",
            tabindex="0", role="region", aria_label=f"{document.title}, sheet {number}: {scene.title}",
        )
        for number, scene in enumerate(sheets, start=1)
    ]  # fmt: skip
    many = "1 sheet" if len(sheets) == 1 else f"{len(sheets)} sheets"
    return element("details", element("summary", f"{document.title}, {many}"), *figures, id=f"drawing-{document.name}")


def _lists(plan: Plan, subjects: Subjects) -> Iterable[Markup]:
    for document in DOCUMENTS:
        if document.name in OWN_TABLE:
            continue
        for at, table in enumerate(document.tables_of(plan)):
            many = "1 row" if len(table.rows) == 1 else f"{len(table.rows)} rows"
            ids = _run_ids(plan, table) if document.name == "schedule" else None
            name = f"list-{document.name}" if at == 0 else f"list-{document.name}-{at + 1}"
            summary = element("summary", f"{table.title}, {many}")
            yield element("details", summary, html_table(table, subjects, ids=ids), id=name)


def _run_ids(plan: Plan, table: Table) -> dict[int, str]:
    """Return the row at which each run begins in the schedule."""
    runs = {run.key: run.number for run in plan.wiring.runs}
    first = {row["key"]: at for at, row in reversed(list(enumerate(table.rows)))}
    return {at: f"run-{runs[str(key)]}" for key, at in first.items()}


def _cautions(plan: Plan) -> Markup:
    kinds = (("For the electrician", "electrician"), ("For whoever tests", "testing"), ("For whoever cuts", "cutting"))
    return joined_markup(
        part
        for title, work in kinds
        for part in (element("h3", title), element("ul", *(element("li", one) for one in cautions(plan.project, work))))
    )
