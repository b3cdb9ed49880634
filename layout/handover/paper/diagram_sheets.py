"""Diagrams on framed sheets: one-line diagram, terminal blocks, legends of the distribution panels."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import pairwise
from math import inf
from typing import TYPE_CHECKING

from layout.drawing.diagrams.legend import MODULE_MM, LegendCell, legend_strips
from layout.drawing.diagrams.one_line import one_line, one_line_pieces
from layout.drawing.diagrams.one_line_picture import Chosen
from layout.drawing.diagrams.terminal_block import BlockWire, Position, terminal_block
from layout.drawing.elements.picture_rows import on_sheets
from layout.drawing.elements.scene import Group, Item, Scene
from layout.drawing.paper.drawing_sheets import (
    Sheet,
    SheetTitle,
    cautions_items,
    drawing_sheets,
    drawing_space,
    framed,
    title_block_box,
)
from layout.drawing.paper.stamp import overprint
from layout.geometry.path import Box
from layout.handover.paper.cautions import FOOT, sheet_cautions
from layout.handover.paper.paper_choice import paper_of, series_of
from layout.project.model.keys import End

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.project import Project
    from layout.project.model.supplies import BreakerPanel
    from layout.wiring.result import Wire, Wiring

_GAP_MM = 6.0


def chosen_of(wiring: Wiring | None) -> Chosen:
    """Return what wiring has settled, for the one-line diagram: ways, ratings, cross-sections and wire numbers."""
    if wiring is None:
        return Chosen()
    ways = {f"{way.panel}/{way.way}": way.circuit for way in wiring.ways if way.circuit and way.assigned}
    ratings = {f"ways.{way.panel}/{way.way}": way.rating_a for way in wiring.ways if way.rating_a is not None}
    notes: dict[str, str] = {}
    number_of = {run.owner: run.number for run in reversed(wiring.runs) if run.owner_kind == "circuit"}
    for way in wiring.ways:
        if way.circuit in number_of:
            notes[f"ways.{way.panel}/{way.way}"] = _plain(number_of[str(way.circuit)])
    for run in wiring.runs:
        if run.guard is not None and run.guard.rating_a is not None:
            ratings.setdefault(run.key, run.guard.rating_a)
        if run.owner_kind == "feeder" and run.size is not None:
            notes[run.key] = f"{run.number} {run.size}"
        elif run.owner_kind == "circuit":
            notes.setdefault(f"circuits.{run.owner}", _plain(run.number))
    return Chosen(ways=ways, ratings=ratings, notes=notes)


def _plain(number: str) -> str:
    """Return a wire number without its segment's letter."""
    return number.rstrip("abcdefghijklmnopqrstuvwxyz")


ROOM_MM = (376.0, 214.0)
"""Room for a picture on an A3 sheet beside its frame and above title block and cautions."""


def room_of(project: Project) -> tuple[float, float]:
    """Return the room for a picture on the second smallest sheet of a project's series, above block and cautions."""
    paper = drawing_sheets(series_of(project))[1]
    space, block = drawing_space(paper), title_block_box(paper)
    beside = min(block.x0 - space.x0 - 2 * _GAP_MM, 190.0)
    told = space.y0 + cautions_items(sheet_cautions(project), (0, 0), beside)[1]
    tall = space.y1 - max(block.y1, told) - 2 * _GAP_MM
    return min(ROOM_MM[0], space.width - 2 * _GAP_MM), min(ROOM_MM[1], tall)


LEAST_CAUTIONS_MM = 50.0
"""Cautions go beside the title block where at least so much is left there, mm."""
SMALL_ROOM_MM = (255.0, 138.0)
"""The same on the smallest sheet lengthways."""


def one_line_sheets(project: Project, wiring: Wiring | None = None, *, faulty: bool = False) -> tuple[Scene, ...]:
    """Return the one-line diagram on one framed sheet, or on several A3 sheets where one does not take it.

    Parameters
    ----------
    faulty
        Overprints them NOT FOR WIRING.
    """
    chosen = chosen_of(wiring)
    whole = one_line(project, chosen)
    small = project.workshop.diagrams == "A4"
    room = SMALL_ROOM_MM if small else room_of(project)
    pictures: tuple[Scene, ...] = (whole,)
    if whole.width_mm > room[0] or whole.height_mm > room[1]:
        pictures = on_sheets(one_line_pieces(project, chosen), *room)
    return tuple(
        picture_sheet(project, picture, "One-line diagram", faulty=faulty, sheet=(number, len(pictures)), small=small)
        for number, picture in enumerate(pictures, start=1)
    )


def picture_sheet(
    project: Project, picture: Scene, kind: str, *, section: str = "Diagrams", faulty: bool = False,
    sheet: tuple[int, int] = (1, 1), small: bool = False, scale: str = "none",
) -> Scene:  # fmt: skip
    """Return a picture on the smallest framed sheet that holds it beside title block and cautions.

    Parameters
    ----------
    kind
        Kind of document, for the title block and the page's name.
    section
        Heading that the page is gathered under.
    faulty
        Whether something on it has an error; then it is overprinted NOT FOR WIRING.
    sheet
        Its number and how many there are.
    small
        Whether it may go on the smallest sheet of its series, lengthways.
    scale
        For the title block, where the picture has one.
    """
    frame = partial(_on_sheet, project, kind=kind, section=section, number=sheet, scale=scale)
    lines = sheet_cautions(project)
    sheets = drawing_sheets(series_of(project))
    for paper in (*([sheets[0].turned()] if small else []), *sheets[1:]):
        said = (FOOT,) if paper.name == sheets[0].name else lines
        space = drawing_space(paper)
        block = title_block_box(paper)
        if picture.width_mm + 2 * _GAP_MM <= space.width and picture.height_mm + 2 * _GAP_MM <= space.height:
            at = (space.x0 + _GAP_MM, space.y1 - _GAP_MM - picture.height_mm)
            occupied = Box(at[0], at[1], at[0] + picture.width_mm, at[1] + picture.height_mm)
            low = occupied.y0 >= block.y1 + _GAP_MM
            if (low or occupied.x1 <= block.x0 - _GAP_MM) and not _covered(said, occupied, space, block):
                return frame(paper, picture, at, lines=said, faulty=faulty)
    own = Sheet(name="own size", width_mm=picture.width_mm + 60, height_mm=picture.height_mm + 120)
    at = (drawing_space(own).x0 + _GAP_MM, drawing_space(own).y1 - _GAP_MM - picture.height_mm)
    return frame(own, picture, at, lines=lines, faulty=faulty)


def _covered(lines: Sequence[str], occupied: Box, space: Box, block: Box) -> bool:
    """Tell whether the cautions find no room but on the picture."""
    if _beside_mm(lines, occupied.y0 - _GAP_MM, space, block) is not None:
        return False
    top = block.y1 + 2 + cautions_items(lines, (0, 0), block.width)[1]
    return occupied.x1 > block.x0 and occupied.y0 < top


def _beside_mm(lines: Sequence[str], floor: float, space: Box, block: Box) -> float | None:
    """Return the width of the cautions left of the title block and below ``floor``; None where they find no room."""
    room = block.x0 - space.x0 - 2 * _GAP_MM
    for wide in (min(room, 190.0), room):
        if room > LEAST_CAUTIONS_MM and cautions_items(lines, (0, 0), wide)[1] <= floor - space.y0:
            return wide
    return None


def _on_sheet(
    project: Project,
    sheet: Sheet,
    picture: Scene,
    at: tuple[float, float],
    *,
    kind: str,
    section: str,
    lines: Sequence[str],
    faulty: bool,
    number: tuple[int, int],
    scale: str,
) -> Scene:
    space, block = drawing_space(sheet), title_block_box(sheet)
    items: list[Item] = [*framed(sheet, _block(project, kind, picture.title, number, scale))]
    items.append(Group(picture.items, name="picture", dx_mm=at[0], dy_mm=at[1]))
    beside = _beside_mm(lines, at[1] - _GAP_MM, space, block)
    if beside is not None:
        drawn, height = cautions_items(lines, (0, 0), beside)
        items.append(Group(drawn, dx_mm=space.x0 + _GAP_MM, dy_mm=space.y0 + _GAP_MM / 2 + height))
    else:
        drawn, height = cautions_items(lines, (0, 0), block.width)
        items.append(Group(drawn, dx_mm=block.x0, dy_mm=block.y1 + 2 + height))
    if faulty:
        items.append(overprint(space, "NOT FOR WIRING"))
    return Scene(width_mm=sheet.width_mm, height_mm=sheet.height_mm, items=tuple(items), title=kind, section=section)


def _block(project: Project, kind: str, title: str, number: tuple[int, int], scale: str) -> SheetTitle:
    head = project.project
    return SheetTitle(
        title=f"{head.name}: {title}" if head.name else title, document_type=kind, number=head.number,
        owner=head.owner, supplementary_title="Invented data" if head.example else "", created_by=head.drawn_by,
        approved_by=head.approved_by, date=head.date, revision=head.revision, scale=scale,
        sheet=number[0], sheets=number[1],
    )  # fmt: skip


def block_scenes(project: Project, wiring: Wiring) -> tuple[Scene, ...]:
    """Return every bus bar and return bar with its positions and wires, as loose pictures."""
    wires: dict[str, tuple[Wire, str]] = {}
    for run in wiring.runs:
        for wire in run.wires:
            wires[wire.number] = (wire, run.size_words or "size ?")
    blocks: dict[str, list[Position]] = {}
    for use in wiring.studs:
        joined = tuple(_wire(wires[number], use.block) for number in use.wires if number in wires)
        blocks.setdefault(use.block, []).append(Position(mark=str(use.position), stud=use.stud, wires=joined))
    room = paper_of(project, landscape=True).width_mm - 30
    return tuple(
        scene
        for key, positions in blocks.items()
        for scene in terminal_block(_block_name(project, key), positions, room_mm=room)
    )


def _wire(found: tuple[Wire, str], block: str) -> BlockWire:
    wire, size = found
    far = wire.end if wire.start.owner == End.read(block).owner else wire.start
    to = f"{far.name} {far.terminal}".rstrip()
    return BlockWire(number=wire.number, code=wire.code, colour=wire.colour, size=size, to=to)


def _block_name(project: Project, key: str) -> str:
    end = End.read(key)
    owner, terminal = end.owner, end.terminal
    for kind in (project.bus_bars, project.breaker_panels, project.supplies, project.devices):
        if owner in kind:
            name = str(kind[owner].name or owner)
            return f"{name}, bar {terminal}" if terminal else name
    return key


def legend_scenes(project: Project, wiring: Wiring | None = None) -> tuple[Scene, ...]:
    """Return the legend of every distribution panel at full size."""
    used = {(way.panel, way.way): way for way in wiring.ways} if wiring else {}
    scenes = []
    for panel in project.breaker_panels.values():
        cells = []
        for way in panel.ways.values():
            use = used.get((panel.id, way.id))
            circuit = project.circuits.get((use.circuit if use else way.circuit) or "")
            name = way.label or (circuit.name or circuit.id if circuit else "")
            rating = use.rating_a if use else way.rating
            words = f"{rating:g} A" if rating is not None else ("" if way.free else "? A")
            cells.append(LegendCell(mark=way.id, text="" if way.free else name, rating=words, pitches=way.poles))
        if cells:
            pitch = _pitch_mm(project, panel)
            room = min(_face_mm(project, panel), paper_of(project, landscape=True).width_mm - 40)
            room = max(room, pitch * max(cell.pitches for cell in cells))
            known = "" if pitch != MODULE_MM else f", {MODULE_MM:g} mm a way: measure your panel"
            live = f"  DANGER {panel.voltage:g} V AC, licensed person only" if panel.ac else ""
            title = f"{panel.name or panel.id}{known}{live}"
            scenes.append(replace(legend_strips(cells, pitch_mm=pitch, room_mm=room, title=title), section="Legends"))
    return tuple(scenes)


def _face_mm(project: Project, panel: BreakerPanel) -> float:
    """Return the width of the panel's face, which no strip is longer than; endless where it is not known."""
    device = project.devices.get(panel.device or "")
    return inf if device is None or device.face is None else device.face.to_path().bounds().width


def _pitch_mm(project: Project, panel: BreakerPanel) -> float:
    """Return the distance of two ways, from the terminals of the panel's device where they stand in a row."""
    device = project.devices.get(panel.device or "")
    spots = [device.terminals[way].at for way in panel.ways if device and way in device.terminals]
    for axis in (0, 1):
        places = sorted({round(spot[axis], 3) for spot in spots})
        steps = {round(b - a, 2) for a, b in pairwise(places)}
        if len(places) == len(panel.ways) > 1 and len(steps) == 1:
            return steps.pop()
    return MODULE_MM
