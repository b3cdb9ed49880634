"""Show part of a template in a window: lines cut exactly at its edges, notes placed inside it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.drawing import pens
from layout.drawing.clip import clip_path
from layout.drawing.glyphs import text_outlines
from layout.drawing.hatch import hatch_lines
from layout.drawing.labels import LabelWish, PlacedLabel, place_labels
from layout.drawing.metrics import width_mm
from layout.drawing.scene import FillPath, Group, HatchPath, Item, StrokePath
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.drawing.template.content import Content, Mark, Note
    from layout.geometry.path import Path, Point

LETTERS_MM = 20.0
"""Height of CUT FROM FRONT and CUT FROM REAR on every sheet."""

SHADE = "#edf0f4"
LEAST_SHOWN_MM = 9.0
"""A hole of which a sheet shows less than this both ways gets no note there; the next sheet has it."""


def lines_in(content: Content, window: Box) -> dict[str, list[tuple[Path, Mark]]]:
    """Return the pieces of the template's lines inside a window, by layer, in panel coordinates."""
    found: dict[str, list[tuple[Path, Mark]]] = {}
    for mark in content.marks:
        pieces = clip_path(mark.path, window, mark.box)
        if pieces:
            found.setdefault(mark.layer, []).extend((piece, mark) for piece in pieces)
    return found


def is_blank(content: Content, cell: Box) -> bool:
    """Tell whether nothing of the template lies in a cell."""
    return not any(clip_path(mark.path, cell, mark.box) for mark in content.marks)


def window_items(
    content: Content, window: Box, at: Point, taken: Sequence[Box] = (), *, least_mm: float = 1.8
) -> tuple[Item, ...]:
    """Return the template inside ``window`` (panel mm), its lower left at ``at`` on the page.

    Parameters
    ----------
    taken
        Boxes on the page that notes keep clear of.
    least_mm
        Least height of lettering; a large sheet asks for more than a small one (ISO 3098).
    """
    dx, dy = at[0] - window.x0, at[1] - window.y0
    room = window.moved(dx, dy)
    by_layer = lines_in(content, window)
    items: list[Item] = [side_letters(content.shapes.side, room)]
    for layer, pieces in by_layer.items():
        strokes: list[Item] = []
        for mark in dict.fromkeys(mark for _, mark in pieces):
            if mark.hatched:
                strokes += _hatching(mark, window, dx, dy)
        strokes += [StrokePath(piece.moved(dx, dy), mark.pen) for piece, mark in pieces]
        items.append(Group(tuple(strokes), name=layer, layer=layer))
    labels = notes_in(content.notes, window, (dx, dy), lines=_strokes(by_layer, dx, dy), taken=taken, least_mm=least_mm)
    items.append(Group(tuple(item for label in labels for item in label.items(pens.RULE)), name="notes", layer="notes"))
    return tuple(items)


def notes_in(
    notes: Iterable[Note],
    window: Box,
    by: tuple[float, float],
    *,
    lines: Sequence[tuple[Point, Point]],
    taken: Sequence[Box],
    least_mm: float = 1.8,
) -> list[PlacedLabel]:
    """Return the notes of a window where they found room; a note's first line alone where all of it did not.

    ``by`` moves panel coordinates to the page.
    """
    dx, dy = by
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
                at=(x + dx, y + dy),
                height_mm=max(note.height_mm, least_mm),
                bold=note.bold,
                colour=note.colour,
                clear_mm=note.clear_mm if inside else 0.0,
            )
        )
    room = window.moved(dx, dy).grown(-1.0)
    placed, homeless = place_labels(wishes, room=room, taken=taken, lines=lines, reach_mm=60)
    short = [
        LabelWish(lines=wish.lines[:1], at=wish.at, height_mm=wish.height_mm, bold=wish.bold, colour=wish.colour)
        for wish in homeless
    ]
    again, _ = place_labels(short, room=room, taken=[*taken, *(label.box for label in placed)], lines=(), reach_mm=120)
    return [*placed, *again]


def side_letters(side: str, room: Box) -> Group:
    """Return CUT FROM FRONT or CUT FROM REAR in 20 mm letters, pale, behind everything."""
    words = f"CUT FROM {side.upper()}"
    rows = [words]
    if width_mm(words, LETTERS_MM, bold=True) > room.width - 6:
        rows = ["CUT FROM", side.upper()]
    rings: list[Path] = []
    for index, row in enumerate(rows):
        y = room.centre[1] + (len(rows) - 1 - 2 * index) * LETTERS_MM * 0.8
        rings += text_outlines(row, LETTERS_MM, at=(room.centre[0], y), align="centre", bold=True)
    return Group((FillPath(rings[0], SHADE, holes=tuple(rings[1:])),), name="side", layer="side")


def _hatching(mark: Mark, window: Box, dx: float, dy: float) -> list[Item]:
    pen = pens.coloured(pens.HATCH, pens.ALARM, width_mm=0.18)
    lines = hatch_lines(HatchPath(mark.path, pen, spacing_mm=4.0))
    return [StrokePath(piece.moved(dx, dy), pen) for path in lines for piece in clip_path(path, window)]


def _strokes(by_layer: dict[str, list[tuple[Path, Mark]]], dx: float, dy: float) -> list[tuple[Point, Point]]:
    """Return the lines that notes would rather not cross, as straight strokes on the page."""
    found = []
    for layer in ("cut", "unsure", "outline", "face", "helper", "register", "centre"):
        for piece, _ in by_layer.get(layer, ()):
            chain = piece.points(1.0)
            ends = [*chain, chain[0]] if piece.closed else list(chain)
            found += [((a[0] + dx, a[1] + dy), (b[0] + dx, b[1] + dy)) for a, b in pairwise(ends)]
    return found


def _common(first: Box, second: Box) -> Box | None:
    x0, y0 = max(first.x0, second.x0), max(first.y0, second.y0)
    x1, y1 = min(first.x1, second.x1), min(first.y1, second.y1)
    return Box(x0, y0, x1, y1) if x0 <= x1 and y0 <= y1 else None
