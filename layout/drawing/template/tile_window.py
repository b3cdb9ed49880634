"""Show part of a template in a window: lines cut exactly at its edges, notes placed inside it."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.clip import clip_path
from layout.drawing.elements.glyphs import text_outlines
from layout.drawing.elements.hatch import hatch_lines
from layout.drawing.elements.label_placing import (
    Crossings,
    LabelWish,
    PlacedLabel,
    Wording,
    overlaps,
    place_labels,
)
from layout.drawing.elements.metrics import text_box, width_mm
from layout.drawing.elements.scene import FillPath, Group, HatchPath, Item, StrokePath, Text
from layout.geometry.path import Box
from layout.languages import Said, in_language

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.drawing.template.template_content import Content, TemplateMark, TemplateNote
    from layout.geometry.path import Path, Point

LETTERS_MM = 20.0
"""Height of CUT FROM FRONT and CUT FROM REAR on every sheet."""

SHADE = colours.HEAD_TINT
ON_TOP = ("outline", "unsure", "cut")
"""Layers drawn last, over notes and all other lines, so that no cut line is ever interrupted."""

AVOIDED = ("face", "register", "centre", "keep_out", "reference")
"""Layers whose lines notes would rather not cross."""

ZONE_PLACES = (0.5, 0.4, 0.6, 0.25, 0.75, 0.1, 0.9)
"""Where the name of a zone may stand along it, best first."""

NARROW_COST_MM = 3.0
BRIEF_COST_MM = 70.0

LEAST_SHOWN_MM = 9.0
"""A hole of which a sheet shows less than this both ways gets no note there; the next sheet has it."""


def lines_in(content: Content, window: Box) -> dict[str, list[tuple[Path, TemplateMark]]]:
    """Return the pieces of the template's lines inside a window, by layer, in panel coordinates."""
    found: dict[str, list[tuple[Path, TemplateMark]]] = {}
    for mark in content.marks:
        pieces = clip_path(mark.path, window, mark.box)
        if pieces:
            found.setdefault(mark.layer, []).extend((piece, mark) for piece in pieces)
    return found


def is_blank(content: Content, cell: Box) -> bool:
    """Tell whether nothing of the template lies in a cell."""
    x0, y0, x1, y1 = cell.x0, cell.y0, cell.x1, cell.y1
    across = []
    for mark in content.marks:
        box = mark.box
        if box.x1 < x0 or x1 < box.x0 or box.y1 < y0 or y1 < box.y0:
            continue
        if x0 <= box.x0 and y0 <= box.y0 and box.x1 <= x1 and box.y1 <= y1:
            return False  # known without cutting anything
        across.append(mark)
    return not any(clip_path(mark.path, cell, mark.box) for mark in across)


def window_items(
    content: Content,
    window: Box,
    at: Point,
    taken: Sequence[Box] = (),
    *,
    avoid: Sequence[tuple[Point, Point]] = (),
    least_mm: float = 1.8,
) -> tuple[Item, ...]:
    """Return the template inside ``window`` (panel mm), its lower left at ``at`` on the page.

    Parameters
    ----------
    taken
        Boxes on the page that notes keep clear of.
    avoid
        Strokes on the page that notes would rather not cross.
    least_mm
        Least height of lettering; a large sheet asks for more than a small one (ISO 3098).
    """
    dx, dy = at[0] - window.x0, at[1] - window.y0
    room = window.moved(dx, dy)
    by_layer = lines_in(content, window)
    groups = {layer: _lines(layer, pieces, window, dx, dy) for layer, pieces in by_layer.items()}
    firm = [*_strokes(by_layer, ON_TOP, dx, dy), *_strokes(by_layer, ("helper",), dx, dy)]
    zones = zone_names(content.notes, window, (dx, dy), firm=firm, taken=taken, least_mm=least_mm)
    labels = notes_in(
        [note for note in content.notes if note not in zones],
        window,
        (dx, dy),
        lines=[*_strokes(by_layer, AVOIDED, dx, dy), *avoid],
        firm=firm,
        taken=[*taken, *(text_box(text) for text in zones.values())],
        least_mm=least_mm,
    )
    written = (*zones.values(), *(item for label in labels for item in label.items(pens.RULE_PEN)))
    return (
        side_letters(content.shapes.side, room),
        *(group for layer, group in groups.items() if layer not in ON_TOP),
        Group(written, name="notes", layer="notes"),
        *(groups[layer] for layer in ON_TOP if layer in groups),
    )


def _lines(layer: str, pieces: Sequence[tuple[Path, TemplateMark]], window: Box, dx: float, dy: float) -> Group:
    strokes: list[Item] = []
    for mark in dict.fromkeys(mark for _, mark in pieces if mark.hatched):
        strokes += _hatching(mark, window, dx, dy)
    strokes += [StrokePath(piece.moved(dx, dy), mark.pen) for piece, mark in pieces]
    return Group(tuple(strokes), name=layer, layer=layer)


def notes_in(
    notes: Sequence[TemplateNote],
    window: Box,
    by: tuple[float, float],
    *,
    lines: Sequence[tuple[Point, Point]],
    firm: Sequence[tuple[Point, Point]],
    taken: Sequence[Box],
    least_mm: float = 1.8,
) -> list[PlacedLabel]:
    """Return the notes of a window where they found room, each in the wording that fits best.

    Parameters
    ----------
    by
        Moves panel coordinates to the page.
    lines, firm
        Strokes on the page that notes would rather not cross, and those they keep clear of.
    """
    dx, dy = by
    holes = [(note, box.moved(dx, dy)) for note in notes if note.is_hole and (box := _common(note.box, window))]
    wishes = []
    for note in notes:
        shown = _common(note.box, window)
        if shown is None:
            continue
        inside = window.x0 <= note.at[0] <= window.x1 and window.y0 <= note.at[1] <= window.y1
        if not inside and min(shown.width, shown.height) < LEAST_SHOWN_MM:
            continue
        x, y = note.at if inside else shown.centre
        wishes.append(
            LabelWish(
                lines=note.lines,
                others=_wordings(note, whole=inside),
                at=(x + dx, y + dy),
                height_mm=max(note.height_mm, least_mm),
                bold=note.bold,
                colour=note.colour,
                clear_mm=note.clear_mm if inside else 0.0,
                on_point=not inside,
                foreign=tuple(box for other, box in holes if other is not note),
            )
        )
    room = window.moved(dx, dy).grown(-1.0)
    placed, homeless = place_labels(wishes, room=room, taken=taken, lines=lines, firm=firm, reach_mm=60)
    short = [
        LabelWish(lines=wish.lines[:1], at=wish.at, height_mm=wish.height_mm, bold=wish.bold, colour=wish.colour)
        for wish in homeless
    ]
    again, _ = place_labels(short, room=room, taken=[*taken, *(label.box for label in placed)], lines=(), reach_mm=120)
    return [*placed, *again]


def _wordings(note: TemplateNote, *, whole: bool) -> tuple[Wording, ...]:
    """Return a note's other wordings; the sheet with the hole's centre says all of it, unless there is no way."""
    narrow = [(NARROW_COST_MM * step, words) for step, words in enumerate(note.narrow, start=1)]
    brief = [(BRIEF_COST_MM if whole else NARROW_COST_MM * (2 + step), words) for step, words in enumerate(note.brief)]
    return (*narrow, *brief)


def zone_names(
    notes: Iterable[TemplateNote],
    window: Box,
    by: tuple[float, float],
    *,
    firm: Sequence[tuple[Point, Point]],
    taken: Sequence[Box],
    least_mm: float = 1.8,
) -> dict[TemplateNote, Text]:
    """Return the names of zones that fit into what the window shows of them, upright where too narrow."""
    lines, blocked = Crossings(firm), list(taken)
    found: dict[TemplateNote, Text] = {}
    for note in notes:
        shown = _common(note.box, window) if note.is_zone else None
        if shown is None:
            continue
        height = max(note.height_mm, least_mm)
        wide = width_mm(note.lines[0], height) + 2.0
        upright = shown.width < min(wide, shown.height)
        long, across = (shown.height, shown.width) if upright else (shown.width, shown.height)
        if wide > long or 1.6 * height > across:
            continue
        for share in ZONE_PLACES:
            off = (long - wide) * (share - 0.5)
            x, y = shown.centre[0] + (0.0 if upright else off), shown.centre[1] + (off if upright else 0.0)
            turn = 90.0 if upright else 0.0
            text = Text((x + by[0], y + by[1]), note.lines[0], height, "centre", "middle", turn, colour=note.colour)
            box = text_box(text)
            if not lines.count(box) and not any(overlaps(box, other, clear_mm=1.0) for other in blocked):
                found[note] = text
                blocked.append(box)
                break
    return found


def side_letters(side: str, room: Box) -> Group:
    """Return CUT FROM FRONT or CUT FROM REAR in 20 mm letters, pale, behind everything."""
    return _letters(in_language(f"CUT FROM {side.upper()}"), room)


@lru_cache(maxsize=8)
def _letters(words: str, room: Box) -> Group:
    words = Said(words)
    rows = [words]
    if width_mm(words, LETTERS_MM, bold=True) > room.width - 6:
        rows = [Said(part) for part in words.rsplit(" ", 1)]
    rings: list[Path] = []
    for index, row in enumerate(rows):
        y = room.centre[1] + (len(rows) - 1 - 2 * index) * LETTERS_MM * 0.8
        rings += text_outlines(row, LETTERS_MM, at=(room.centre[0], y), align="centre", bold=True)
    return Group((FillPath(rings[0], SHADE, holes=tuple(rings[1:])),), name="side", layer="side")


def _hatching(mark: TemplateMark, window: Box, dx: float, dy: float) -> list[Item]:
    pen = pens.coloured(pens.HATCH, colours.ALARM, width_mm=0.18)
    lines = hatch_lines(HatchPath(mark.path, pen, spacing_mm=4.0))
    return [StrokePath(piece.moved(dx, dy), pen) for path in lines for piece in clip_path(path, window)]


def _strokes(
    by_layer: dict[str, list[tuple[Path, TemplateMark]]], layers: Iterable[str], dx: float, dy: float
) -> list[tuple[Point, Point]]:
    """Return the lines of some layers as straight strokes on the page."""
    found = []
    for layer in layers:
        for piece, _ in by_layer.get(layer, ()):
            chain = piece.points(1.0)
            ends = [*chain, chain[0]] if piece.closed else list(chain)
            found += [((a[0] + dx, a[1] + dy), (b[0] + dx, b[1] + dy)) for a, b in pairwise(ends)]
    return found


def _common(first: Box, second: Box) -> Box | None:
    x0, y0 = max(first.x0, second.x0), max(first.y0, second.y0)
    x1, y1 = min(first.x1, second.x1), min(first.y1, second.y1)
    return Box(x0, y0, x1, y1) if x0 <= x1 and y0 <= y1 else None
