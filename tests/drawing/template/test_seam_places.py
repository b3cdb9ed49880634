"""Seams of tiles: crosses, letters and words keep off what is cut, and cut lines are drawn last."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.elements.clip import clip_path
from layout.drawing.elements.label_placing import Crossings, overlaps
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import Group, Text, scene_leaves
from layout.drawing.panel.panel_view import strokes
from layout.drawing.template.seam_places import FIRM, seam_places
from layout.drawing.template.template_pages import template_content, tiled_template
from layout.drawing.template.tile_window import ON_TOP, window_items
from layout.geometry.path import Box

RING_MM = 2.0


def is_forced(shown, seam):
    """Tell whether a cut runs along so much of a seam that half of it has no free place."""
    box = Box(*seam.start, *seam.end).grown(RING_MM)
    wide = [piece.bounds() for mark in shown.marks if mark.layer in FIRM for piece in clip_path(mark.path, box)]
    return any((p.height if seam.upright else p.width) > 0.4 * max(box.width, box.height) for p in wide)


def near_cuts(shown, at):
    """Return the firm marks within the ring of a cross."""
    box = Box(at[0] - RING_MM, at[1] - RING_MM, at[0] + RING_MM, at[1] + RING_MM)
    return [mark for mark in shown.marks if mark.layer in FIRM and clip_path(mark.path, box, mark.box)]


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter", "Legal", "Tabloid"])
def test_crosses_of_seams_stand_off_holes_and_edges(project, arrangement, paper):
    """No cross of a seam lies on a cut line, a helping hole or a centre mark, and there are two on each seam."""
    template = tiled_template(project, arrangement, "console", paper=paper)
    shown = template_content(project, arrangement, "console", "front")
    places = seam_places(shown, template.grid)
    assert set(places) == {seam.letter for seam in template.grid.seams}
    for seam in template.grid.seams:
        for at in places[seam.letter].crosses:
            assert near_cuts(shown, at) == [] or is_forced(shown, seam)
            across, along = (at[0], at[1]) if seam.upright else (at[1], at[0])
            line, start, end = (seam.start[0], seam.start[1], seam.end[1]) if seam.upright else (
                seam.start[1], seam.start[0], seam.end[0])  # fmt: skip
            assert across == line
            assert start < along < end


def test_words_of_seams_cross_no_line(project, arrangement):
    """What a seam says lies on no line of the template; without such a place it is left out."""
    template = tiled_template(project, arrangement, "console")
    shown = template_content(project, arrangement, "console", "front")
    seen = 0
    for scene, tile in zip(template.scenes[-len(template.grid.tiles) :], template.grid.tiles, strict=True):
        by = (template.grid.page.window.x0 - tile.window.x0, template.grid.page.window.y0 - tile.window.y0)
        lines = Crossings([stroke for mark in shown.marks for stroke in strokes(mark.path.moved(*by))])
        for item in scene_leaves(scene.items):
            if isinstance(item, Text) and ("cut here" in item.content or "comes over this" in item.content):
                assert lines.count(text_box(item)) == 0
                seen += 1
    assert seen > 5


def test_cut_lines_are_drawn_after_every_note(project, arrangement):
    """Nothing of the template is drawn over a cut line: outline and holes come last."""
    shown = template_content(project, arrangement, "console", "front")
    items = window_items(shown, shown.box, (0.0, 0.0))
    layers = [item.layer for item in items if isinstance(item, Group)]
    assert {"outline", "cut"} <= set(layers[-len(ON_TOP) :])
    assert not set(layers[: layers.index("notes")]) & set(ON_TOP)


def test_names_of_zones_stand_inside_them(project, arrangement):
    """A keep-out's name lies inside it where it fits, upright in an upright one."""
    shown = template_content(project, arrangement, "console", "front")
    items = window_items(shown, shown.box, (shown.box.x0, shown.box.y0))
    texts = {i.content: i for i in scene_leaves(items) if isinstance(i, Text)}
    batten = next(path for path, zone in shown.shapes.no_go if zone.name == "Batten")
    box = batten.bounds()
    inside = text_box(texts["Batten"])
    assert box.x0 < inside.x0 < inside.x1 < box.x1
    assert box.y0 < inside.y0 < inside.y1 < box.y1


@given(st.floats(0, 1), st.floats(0, 1))
def test_a_note_of_one_hole_never_stands_in_another(project, arrangement, share_x, share_y):
    """Wherever the window lies, the note of a hole it shows whole is not inside another hole."""
    full = template_content(project, arrangement, "console", "front")
    box = full.box
    x, y = box.x0 + share_x * (box.width - 277), box.y0 + share_y * (box.height - 178)
    window = Box(x, y, x + 277, y + 178)
    texts = [i for i in scene_leaves(window_items(full, window, (x, y))) if isinstance(i, Text)]
    holes = [(n, n.box.grown(-2.0)) for n in full.notes if n.is_hole]
    for note, own in holes:
        heads = [t for t in texts if t.content == note.lines[0]]
        for other, foreign in holes:
            shown = window.x0 < foreign.x0 and foreign.x1 < window.x1 and window.y0 < foreign.y0 < window.y1
            if other is not note and shown and not overlaps(own, foreign):
                assert not any(overlaps(text_box(head), foreign) for head in heads)
