"""A panel as it is now: its photograph under the outline, with what is there already. Nothing is cut from it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.label_placing import place_labels
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import Group, Item, Scene, StrokePath, Text
from layout.drawing.elements.scene_table import SceneColumn, SceneTable
from layout.drawing.panel import panel_drawing as sheet_of
from layout.drawing.panel import panel_view
from layout.drawing.panel.placed_panel import drawn_shapes
from layout.drawing.panel.sheet_choice import choose_sheet

if TYPE_CHECKING:
    from layout.drawing.elements.scene import Underlay
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project


def as_it_is(
    project: Project, arrangement: Arrangement, panel_id: str, photograph: Underlay, *, series: str = "iso"
) -> Scene:
    """Return one sheet: outline, openings, old holes and the devices that are cut in already, over the photograph.

    Parameters
    ----------
    photograph
        In panel mm.
    """
    shapes = drawn_shapes(project, arrangement, panel_id)
    shapes = replace(shapes, devices=tuple(one for one in shapes.devices if one.device.work_state != "planned"))
    rows = [("Outline", "as the file says it"), ("Picture", "laid by three points; perspective stays in")]
    rows += [(old.name or old.id or "Old hole", "old hole") for _, old in shapes.old_holes]
    rows += [(one.name, "there already") for one in shapes.devices]
    table = SceneTable(columns=(SceneColumn(title="As it is now"), SceneColumn(title=shapes.name)), rows=tuple(rows))
    choice = choose_sheet(shapes.box, [table], series)
    view = choice.view(shapes)
    edge = view.box(shapes.box)
    there = [path for one in shapes.devices for path in (one.face, *one.cutouts)]
    there += [path for path, _ in shapes.old_holes]
    clear = pens.coloured(pens.OUTLINE, colours.WHITE, width_mm=1.0)  # so that a line reads on a dark picture
    lines = [StrokePath(view.path(path), pen) for pen in (clear, pens.OUTLINE) for path in there]
    words = Text(
        (edge.x0, edge.y1 + choice.above_mm + 2.0), "As it is now: measure and cut nothing from it", 3.5, bold=True
    )
    items: list[Item] = [
        panel_view.outline(shapes, view),
        Group(tuple(lines), name="there", layer="there"),
        words,
    ]
    placed, _ = place_labels(panel_view.name_wishes(shapes, view), room=choice.room, taken=[text_box(words)])
    items += [item for label in placed for item in label.items()]
    a, b, c, d, e, f = photograph.matrix
    (x0, y0), s = view.at, view.scale
    rim = min(choice.above_mm, 8.0)
    under = replace(photograph, matrix=(a * s, b * s, c * s, d * s, e * s + x0, f * s + y0), room=edge.grown(rim))
    pages = sheet_of.with_tables(items, [table], choice)[:1]
    block = sheet_of.title_block(project, shapes, "As it is now", choice.scale)
    (scene,) = sheet_of.finish(pages, choice.sheet, block, section=shapes.name, errors=(), titles=("As it is now",))
    return replace(scene, underlay=under)
