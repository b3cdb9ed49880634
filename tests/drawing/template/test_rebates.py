"""A rebate for a flush face: judged, drawn, listed, cut in its turn and handed to the machine."""

from __future__ import annotations

from io import StringIO

import ezdxf
import pytest

from layout.drawing.elements import pens
from layout.drawing.elements.scene import StrokePath, Text, scene_leaves
from layout.drawing.panel.hole_table import hole_table
from layout.drawing.panel.holes import depth_text, holes
from layout.drawing.panel.panel_drawing import panel_drawing
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.panel.rebates import rebates
from layout.drawing.panel.section import section_drawing
from layout.drawing.template.order_of_work import jobs, order_of_work, tool_list
from layout.drawing.template.template_findings import template_findings
from layout.drawing.template.template_pages import tiled_template
from layout.drawing.template.tools import owned
from layout.drawing.writers.machine_file import machine_file
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Behind, Device, Fixing, Rebate
from layout.project.model.panel import Panel, SizeFrom
from layout.project.model.project import Project, TitleBlock
from layout.project.model.shape import Shape

CODES = ("cut 60", "cut 61", "cut 62", "cut 63")
REBATE = Rebate(depth=3.0, margin=0.5)


def made(
    rebate: Rebate | None = REBATE, *, thickness: float = 12.0, other: Device | None = None, away: float = 200.0, **more
) -> tuple[Project, Arrangement]:
    """Return a sheet of 400 x 200 with a display of 100 x 80 at 100, 100, and perhaps a second thing beside it."""
    display = Device(
        id="display", name="Display", panel=("board",), face=Shape(rect=(100, 80), radius=5),
        cutout=(Shape(rect=(80, 60), radius=5),), behind=(Behind(shape=Shape(rect=(78, 58)), depth=30),),
        fixings=(Fixing(at=(45, 0), drill=4.0),), weight=1.0, rebate=rebate, **{"size_from": SizeFrom.MEASURED, **more},
    )  # fmt: skip
    devices = {"display": display} | ({other.id: other} if other else {})
    panel = Panel(id="board", name="Board", outline=Shape(rect=(400, 200), at=(200, 100)), thickness=thickness,
                  material="plywood", depth=90)  # fmt: skip
    project = Project(spile=1, project=TitleBlock(name="x"), devices=devices, panels={"board": panel})
    placed = {"display": Placed(device="display", panel="board", x=100, y=100)}
    if other:
        placed[other.id] = Placed(device=other.id, panel="board", x=100 + away, y=100)
    return project, Arrangement(placed=placed)


def found(*args: object, **more: object) -> list[str]:
    """Return the codes about rebates."""
    return [one.rule for one in template_findings(*made(*args, **more)) if one.rule in CODES]


def lamp(**more: object) -> Device:
    """Return a round thing: face of 40, hole of 30."""
    return Device(
        id="lamp", name="Lamp", panel=("board",), face=Shape(circle=40), cutout=(Shape(circle=30),), weight=0.1,
        **{"size_from": SizeFrom.MEASURED, **more},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("depth", "thickness", "codes"),
    [
        (3, 12, []),
        (8, 12, []),  # 4 left: a third of 12 is 3.96
        (8.1, 12, ["cut 61"]),
        (3, 6, []),  # 3 mm of plywood is the least that stays
        (3.1, 6, ["cut 61"]),
        (12, 12, ["cut 60"]),
        (13, 12, ["cut 60"]),
        (11.9, 12, ["cut 61"]),
    ],
)
def test_what_is_left_below_is_judged(depth, thickness, codes):
    """As deep as the sheet is a stop; less than a third or than 3 mm of plywood left is told."""
    assert found(Rebate(depth=depth), thickness=thickness) == codes


@pytest.mark.parametrize(
    ("away", "codes"),
    [
        (150, []),
        (77.5 + 0.1, []),  # edge of the rebate at 50.5, of the hole at 15: 12.1 mm between, 12 is the least
        (77.5 - 0.1, ["cut 63"]),
        (70.6, ["cut 63"]),  # faces 0.6 apart: the margin of 0.5 leaves 0.1
        (70.4, ["cut 62", "cut 63"]),  # the rebate's edge runs under the lamp's face, and near its hole
    ],
)
def test_the_web_counts_from_the_edge_of_the_rebate(away, codes):
    """Beside a hole of 30 the web begins at the rebate's edge; where that runs under a face it is a stop."""
    assert found(other=lamp(), away=away) == codes


def test_two_rebates_are_judged_once_and_against_each_other():
    """Two rebates with 11.9 mm between their edges are one finding, with 12.1 mm none."""
    step = Rebate(depth=2.0)
    assert found(other=lamp(rebate=step), away=50.5 + 20 + 11.9) == ["cut 63"]
    assert found(other=lamp(rebate=step), away=50.5 + 20 + 12.1) == []


def test_the_edge_of_the_sheet_counts_as_a_hole():
    """A margin of 38 leaves 12 mm to the edge at the left, of 38.1 less, of 50 nothing."""
    assert found(Rebate(depth=3, margin=38)) == []
    assert found(Rebate(depth=3, margin=38.1)) == ["cut 63"]
    assert found(Rebate(depth=3, margin=50)) == ["cut 62"]


def test_no_rebate_says_nothing():
    """A face that lies on the sheet has no row, no line, no layer and no step of the work."""
    project, arrangement = made(None)
    shapes = panel_shapes(project, arrangement, "board")
    assert rebates(shapes) == ()
    scene = machine_file(project, arrangement, "board").svg()
    assert "rebate" not in scene


def test_it_stands_in_the_table_with_its_depth_and_thins_what_is_cut_in_it():
    """The row says centre, size over the margin, radius and depth; the cut-out and the screw go through 9 of 12 mm."""
    shapes = panel_shapes(*made(), "board")
    listed = hole_table(holes(shapes), 12.0, steps=rebates(shapes))
    assert ("1R", "100", "100", "101 × 81 R5.5", "3 deep", "rebate", "Display") in listed.rows
    assert {depth_text(hole, 12.0) for hole in holes(shapes)} == {"through 9"}


def test_it_is_cut_before_the_holes_and_from_the_front():
    """The router comes before drill and saw; a template for the rear says to turn the sheet."""
    project, arrangement = made()
    for side in ("front", "rear"):
        shapes = panel_shapes(project, arrangement, "board")
        steps = order_of_work([], shapes.panel, side=side, rebates=rebates(shapes))
        routed = [step for step in steps if step.tool == "router"]
        assert [step.marks for step in routed] == [("1R",)]
        assert ("Turn the sheet" in routed[0].what) == (side == "rear")
    work = jobs(holes(shapes), owned(project.workshop))
    tools = [
        step.tool.split()[0]
        for step in order_of_work(work, shapes.panel, side="front", rebates=rebates(shapes))
        if step.tool
    ]
    assert tools.index("router") < min(tools.index(tool) for tool in tools if tool in ("drill", "hole", "jigsaw"))
    assert any("router" in line for line in tool_list(work, rebates(shapes)))


def test_a_guessed_one_is_cut_nowhere():
    """Of guessed sizes there is no step with the router, and the machine has it for reference only."""
    project, arrangement = made(size_from=SizeFrom.GUESSED)
    shapes = panel_shapes(project, arrangement, "board")
    steps = order_of_work([], shapes.panel, side="front", rebates=rebates(shapes))
    assert [step.tool for step in steps if step.tool == "router"] == []
    assert any("1R" in step.marks for step in steps if "DO NOT CUT" in step.what)
    document = ezdxf.read(StringIO(machine_file(project, arrangement, "board").dxf()))
    assert not document.modelspace().query('*[layer=="rebate"]')


@pytest.mark.parametrize("kerf", [0.0, 6.0])
def test_the_machine_has_it_on_a_layer_of_its_own_at_its_size(kerf):
    """Read back, the layer holds one line of 101 x 81 about 100, 100, less the kerf; its depth is told in words."""
    document = ezdxf.read(StringIO(machine_file(*made(), "board", kerf_mm=kerf).dxf()))
    (line,) = document.modelspace().query('LWPOLYLINE[layer=="rebate"]')
    points = list(line.vertices())
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    assert (min(xs), max(xs)) == pytest.approx((49.5 + kerf / 2, 150.5 - kerf / 2), abs=0.01)
    assert (min(ys), max(ys)) == pytest.approx((59.5 + kerf / 2, 140.5 - kerf / 2), abs=0.01)
    words = [text.dxf.text for text in document.modelspace().query("TEXT MTEXT")]
    assert any("3 deep" in content for content in words)


def test_drawing_section_and_template_show_it():
    """All have its line; the section's sheet is 9 mm thick there; each tile has it in its key."""
    project, arrangement = made()
    (front, *_) = panel_drawing(project, arrangement, "board")
    assert [item.path for item in scene_leaves(front.items) if isinstance(item, StrokePath) and item.pen == pens.REBATE]
    template = tiled_template(project, arrangement, "board")
    tile = template.scenes[-1]
    assert any(isinstance(item, Text) and item.content == "rebate" for item in scene_leaves(tile.items))
    said = [item.content for scene in template.scenes for item in scene_leaves(scene.items) if isinstance(item, Text)]
    assert "1R: rebate 101 × 81 R5.5, 3 deep" in said
    section = section_drawing(project, arrangement, "board", "display")
    words = [item.content for item in scene_leaves(section.items) if isinstance(item, Text)]
    assert "3 mm deep, 9 mm left" in words
