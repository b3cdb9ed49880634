"""The one table of documents: from it books, lists and files are made, in this order."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.diagrams.energy_chart import day_chart
from layout.drawing.diagrams.network_drawing import bus_drawing
from layout.drawing.diagrams.network_map import bus_map
from layout.drawing.diagrams.warning_sheet import warning_sheets
from layout.drawing.panel.holes import holes
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.panel.rebates import rebates
from layout.drawing.template.mock_up import mock_up_scenes
from layout.drawing.template.order_of_work import jobs
from layout.drawing.template.tools import owned
from layout.findings import has_stops
from layout.handover.books.schedule_sheets import schedule_story
from layout.handover.books.test_sheets import blank_tests_story, run_tests_table
from layout.handover.books.wireway_sheets import wireway_story
from layout.handover.document import Book, Document, sheets_alone
from layout.handover.files import panel_files
from layout.handover.files.sheet_files import print_files, svg_files
from layout.handover.lists import energy_tables, network_tables
from layout.handover.lists.findings_list import findings_table, of_book
from layout.handover.lists.open_questions.still_to_find_out import find_out_story, find_out_table
from layout.handover.lists.parts_list import WIRED_GROUPS, parts_table
from layout.handover.lists.prices import priced
from layout.handover.lists.revisions import revision_table, snapshot
from layout.handover.lists.wires.cut_list import cut_table
from layout.handover.lists.wires.ends_list import ends_table
from layout.handover.lists.wires.feeder_loads import feeder_table
from layout.handover.lists.wires.fuse_schedule import fuse_table
from layout.handover.lists.wires.label_list import label_foot, stamped_label_scenes
from layout.handover.lists.wires.schedule_columns import schedule_table
from layout.handover.lists.wires.sizing_sheet import sizing_table
from layout.handover.lists.work_aboard.as_found import found_table
from layout.handover.lists.work_aboard.function_tests import function_table
from layout.handover.lists.work_aboard.isolation import isolation_tables
from layout.handover.lists.work_aboard.order_of_wiring import order_table
from layout.handover.lists.work_aboard.warning_labels import warning_labels
from layout.handover.paper.caution_pages import caution_story
from layout.handover.paper.cautions import FOOT, SHOP_FOOT
from layout.handover.paper.dense_table import DenseTable
from layout.handover.paper.diagram_sheets import one_line_sheets, picture_sheet
from layout.handover.paper.earth_sheets import earth_sheets, earth_tables
from layout.handover.paper.flow_table import flow_table, notes
from layout.handover.paper.marked_rows import faulty_wires, marked, wiring_errors
from layout.handover.paper.paper_choice import paper_of
from layout.handover.paper.picture_story import block_story, chart_story, legend_story, legend_values
from layout.handover.paper.styles import heading
from layout.handover.paper.wiring_views import wiring_sheets

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from reportlab.platypus import Flowable

    from layout.drawing.elements.scene import Scene
    from layout.handover.document import BookName
    from layout.handover.lists.table import Table
    from layout.handover.plan import Plan


MANY_PIECES = 12  # a list of more pieces stands in two columns


def _wired(table: Callable[[Plan], Table], key: str = "number") -> Callable[[Plan], Sequence[Table]]:
    """Return what makes a list of wires: nothing where there is none, rows with an error marked."""

    def make(plan: Plan) -> Sequence[Table]:
        if not plan.is_wired:
            return ()
        bad = plan.once("faulty wires", lambda: faulty_wires(plan.project, plan.wiring, plan.found))
        return (marked(table(plan), bad, key),)

    return make


def _findings_of(book: BookName) -> Callable[[Plan], Sequence[Table]]:
    return lambda plan: (findings_table(of_book(plan.found, book)),)


def _findings_story(make: Callable[[Plan], Sequence[Table]]) -> Callable[[Plan, float], list[Flowable]]:
    def story(plan: Plan, width_mm: float) -> list[Flowable]:
        return [part for table in make(plan) for part in flow_table(table, width_mm, words="")]

    return story


def _questions(plan: Plan, width_mm: float) -> list[Flowable]:
    return find_out_story(plan.project, plan.found, width_mm, plan.wiring)


def _one_line(plan: Plan) -> Sequence[Scene]:
    if not plan.project.supplies:
        return ()
    faulty = bool(wiring_errors(plan.found))
    return one_line_sheets(plan.project, plan.wiring, faulty=faulty)


def _schedule(plan: Plan) -> Sequence[Table]:
    return (schedule_table(plan.project, plan.wiring, plan.found),) if plan.is_wired else ()


def _schedule_story(plan: Plan, width_mm: float) -> list[Flowable]:
    return schedule_story(plan.project, plan.wiring, plan.found, width_mm) if plan.is_wired else []


_ends = _wired(lambda plan: ends_table(plan.project, plan.wiring))


def _terminals(plan: Plan, width_mm: float) -> list[Flowable]:
    story = block_story(plan.project, plan.wiring, plan.found) if plan.wiring.studs else []
    return [*story, *_dense(_ends)(plan, width_mm)]


def _dense(make: Callable[[Plan], Sequence[Table]]) -> Callable[[Plan, float], list[Flowable]]:
    """Return what sets lists in two columns, below what is to be said of them."""

    def story(plan: Plan, width_mm: float) -> list[Flowable]:
        lists = [table for table in make(plan) if table.rows]
        return [part for table in lists for part in (*notes(table.notes), DenseTable(table, width_mm))]

    return story


_cuts = _wired(lambda plan: cut_table(plan.wiring))


def _fuses(plan: Plan) -> Sequence[Table]:
    return (fuse_table(plan.project, plan.wiring, plan.found),) if plan.is_wired else ()


def _order(plan: Plan) -> Sequence[Table]:
    return (order_table(plan),) if plan.is_wired else ()


def _order_story(plan: Plan, width_mm: float) -> list[Flowable]:
    return [part for table in _order(plan) for part in flow_table(table, width_mm, lettering_mm=2.0)]


def _isolation(plan: Plan) -> Sequence[Table]:
    return isolation_tables(plan.project, plan.wiring)


def _functions(plan: Plan) -> Sequence[Table]:
    return (function_table(plan.project),) if plan.is_wired else ()


def _wireways(plan: Plan, width_mm: float) -> list[Flowable]:
    return wireway_story(plan.project, plan.wiring, plan.found, width_mm)


def _network_sheets(plan: Plan) -> Sequence[Scene]:
    project = plan.project
    names = {id_: place.name or id_ for id_, place in project.locations.items()}
    sheets: list[Scene] = []
    for bus in plan.networks.buses:
        faulty = has_stops(bus.findings)
        picture = bus_drawing(bus, place_names=names)
        sheets.append(picture_sheet(project, picture, picture.title, section="Instrument network", faulty=faulty))
    return sheets


def _network_maps(plan: Plan) -> Sequence[Scene]:
    maps = [(bus, bus_map(plan.project, bus)) for bus in plan.networks.buses]
    return [
        picture_sheet(plan.project, one, one.title, section="Instrument network", faulty=has_stops(bus.findings))
        for bus, one in maps
    ]


def _network_story(plan: Plan, width_mm: float) -> list[Flowable]:
    story: list[Flowable] = []
    for table in _network(plan):
        story.append(heading(table.title, 3))
        if len(table.rows) >= MANY_PIECES:
            story += [DenseTable(table, width_mm), *notes(table.notes)]
        else:
            story += flow_table(table, width_mm)
    return story


def _network(plan: Plan) -> Sequence[Table]:
    tables = [network_tables.pieces_table(bus, plan.wiring) for bus in plan.networks.buses]
    if plan.networks.serial:
        tables.append(network_tables.serial_table(plan.networks.serial))
    if plan.networks.antennas:
        tables.append(network_tables.antenna_table(plan.networks.antennas, plan.wiring))
    return [network_tables.with_names(plan.project, table) for table in tables]


def _network_figures(plan: Plan) -> Sequence[Table]:
    return [
        table
        for bus in plan.networks.buses
        for table in (network_tables.voltage_table(bus, plan.wiring), network_tables.sides_table(bus))
    ]


def _tests(plan: Plan, width_mm: float) -> list[Flowable]:
    return blank_tests_story(plan.project, plan.wiring, plan.found, width_mm) if plan.is_wired else []


def _legends(plan: Plan, _width_mm: float) -> list[Flowable]:
    if not any(panel.ways for panel in plan.project.breaker_panels.values()):
        return []
    return legend_story(plan.project, plan.wiring, plan.found)


def _label_sheets(plan: Plan) -> Sequence[Scene]:
    if not any(run.wires for run in plan.wiring.runs):
        return ()
    warnings = warning_sheets(warning_labels(plan), paper=paper_of(plan.project).name, foot=label_foot(plan.project))
    return (*stamped_label_scenes(plan.project, plan.wiring, findings=plan.found), *warnings)


def _tools(plan: Plan) -> list[str]:
    """Return the tools that the holes of all panels ask for, each once."""
    if plan.arrangement is None:
        return []
    tools = owned(plan.project.workshop)
    found: dict[str, None] = {}
    for key in plan.project.panels:
        shapes = panel_shapes(plan.project, plan.arrangement, key)
        work = jobs(holes(shapes), tools)
        if any(step.confirmed and not step.done for step in rebates(shapes)):
            found["router"] = None
        found |= dict.fromkeys(job.choice.text for job in work if job.hole.confirmed and job.choice.tool != "none")
    return sorted(found)


def _parts(plan: Plan) -> Sequence[Table]:
    table = parts_table(plan.project, plan.wiring if plan.is_wired else None, _tools(plan), plan.networks)
    if plan.is_wired and faulty_wires(plan.project, plan.wiring, plan.found):
        rows = frozenset(at for at, row in enumerate(table.rows) if row["group"] in WIRED_GROUPS)
        table = replace(table, faulty=rows)
    return (priced(table, plan.prices) if plan.prices else table,)


def _as_found(plan: Plan) -> Sequence[Table]:
    return tuple(filter(None, (found_table(plan.project, plan.wiring),)))


def _energy(plan: Plan) -> Sequence[Table]:
    tables: list[Table] = []
    for sheet in plan.energy.situations:
        tables += [
            energy_tables.banks_table(sheet), energy_tables.sources_table(sheet), energy_tables.loads_table(sheet)
        ]  # fmt: skip
        if sheet.use.conversions:
            tables.append(energy_tables.converters_table(sheet))
    if plan.energy.heat:
        tables.append(energy_tables.heat_table(plan.energy))
    return tables


def _energy_story(plan: Plan, width_mm: float) -> list[Flowable]:
    names = {id_: supply.name or id_ for id_, supply in plan.project.supplies.items()}
    charts = [
        day_chart(sheet, day, names) for sheet in plan.energy.situations for day in sheet.banks if day.known_wh > 0
    ]
    return chart_story(charts, _energy(plan), width_mm)


def _revisions(plan: Plan) -> Sequence[Table]:
    if plan.issued is None:
        return ()
    return (revision_table(json.loads(plan.issued), snapshot(plan.project, plan.arrangement, plan.wiring)),)


BOOKS = (
    Book(
        name="electrician", title="Electrician's book",
        subtitle="what to know, drawings, schedule, terminals, wireways and tests, in the order of the work",
        caution=FOOT,
    ),
    Book(
        name="workshop", title="Workshop book", subtitle="drawings, holes, order of cutting, legends, labels",
        caution=SHOP_FOOT,
    ),
    Book(name="shopping", title="Shopping book", subtitle="what to buy, and how to cut it from the reel", caution=""),
    Book(name="reckoning", title="Reckoning book", subtitle="how each figure was found", caution=FOOT),
)  # fmt: skip
"""The PDFs that a person opens."""

DOCUMENTS: tuple[Document, ...] = (
    Document(name="cautions", title="Cautions", book="electrician", story=caution_story),
    Document(
        name="findings", title="Findings you must know", book="electrician", tables=_findings_of("electrician"),
        story=_findings_story(_findings_of("electrician")),
    ),
    Document(
        name="still-to-find-out", title="Still to find out", book="electrician",
        tables=lambda plan: (find_out_table(plan.project, plan.found, plan.wiring),), story=_questions,
    ),
    Document(name="isolation", title="Isolation", book="electrician", tables=_isolation),
    Document(
        name="one-line", title="One-line diagram", book="electrician", sheets=_one_line,
        files=svg_files("one-line", "one-line", _one_line),
    ),
    Document(
        name="earth", title="Negative, earth and bonding", book="electrician", sheets=earth_sheets, tables=earth_tables,
        story=sheets_alone, files=svg_files("earth", "earth", earth_sheets),
    ),
    Document(
        name="wiring-views", title="Wiring views", book="electrician", sheets=wiring_sheets,
        files=svg_files("wiring-view", "wiring-views", wiring_sheets),
    ),
    Document(
        name="order", title="Order of work", book="electrician", tables=_order, story=_order_story, follows=False
    ),
    Document(
        name="schedule", title="Wire-run schedule", book="electrician", tables=_schedule, story=_schedule_story,
    ),
    Document(name="as-found", title="Wires found aboard", book="electrician", tables=_as_found),
    Document(name="fuses", title="Fuses and breakers", book="electrician", tables=_fuses),
    Document(
        name="ends", title="Terminals, ends and labels", book="electrician", tables=_ends, story=_terminals,
    ),
    Document(name="wireways", title="Wireways", book="electrician", story=_wireways),
    Document(
        name="network", title="Instrument network and antennas", book="electrician", sheets=_network_sheets,
        tables=_network, story=_network_story,
    ),
    Document(
        name="tests", title="Test sheet", book="electrician",
        tables=_wired(lambda plan: run_tests_table(plan.wiring), "wire"), story=_tests,
    ),
    Document(name="functions", title="Functional tests", book="electrician", tables=_functions),
    Document(name="revisions", title="Revision list", book="electrician", tables=_revisions),
    Document(
        name="panel-findings", title="Findings about the panels", book="workshop", tables=_findings_of("workshop"),
        story=_findings_story(_findings_of("workshop")), reads=_findings_of("workshop"),
    ),
    Document(
        name="drawing", title="Panel drawings", book="workshop", sheets=panel_files.panel_drawing_sheets,
        files=panel_files.drawings, reads=panel_files.panel_facts,
    ),
    Document(
        name="template", title="Cutting templates", files=panel_files.templates, reads=panel_files.panel_facts,
        withheld=panel_files.templates_withheld, told_in="workshop",
    ),
    Document(
        name="machine", title="Files for machines", files=panel_files.machine_files, reads=panel_files.panel_facts,
    ),
    Document(
        name="mock-up", title="Mock-up", book="workshop", sheets=lambda plan: mock_up_scenes(plan.project),
        reads=panel_files.panel_facts,
    ),
    Document(
        name="legends", title="Legends of the distribution panels", book="workshop", story=_legends, follows=False,
        reads=lambda plan: legend_values(plan.project, plan.wiring, plan.found),
    ),
    Document(
        name="labels", title="Wire labels", book="workshop", sheets=_label_sheets,
        files=print_files("labels", "wire labels", _label_sheets),
    ),
    Document(name="parts", title="Parts list", book="shopping", tables=_parts, story=_dense(_parts)),
    Document(name="cut-list", title="Cut list by reel", book="shopping", tables=_cuts, story=_dense(_cuts)),
    Document(
        name="sizing", title="How each size was found", book="reckoning",
        tables=_wired(lambda plan: sizing_table(plan.project, plan.wiring)),
    ),
    Document(
        name="feeders", title="Load of the feeders", book="reckoning",
        tables=_wired(lambda plan: feeder_table(plan.project, plan.wiring)),
    ),
    Document(
        name="energy", title="Energy of the day and heat", book="reckoning", tables=_energy, story=_energy_story,
        reads=lambda plan: (plan.energy, plan.project.supplies),
    ),
    Document(
        name="network-figures", title="Figures of the instrument network", book="reckoning", tables=_network_figures,
        sheets=_network_maps,
    ),
)  # fmt: skip
"""Every document, in the order of the books."""

DOCUMENT_NAMES = (*(book.name for book in BOOKS), *(document.name for document in DOCUMENTS), "workbook")
"""What can be asked for."""
