"""Holes, tools, helping holes, order of work, strength, and what is found about them."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
import yaml
from hypothesis import assume, given
from hypothesis import strategies as st

from layout.drawing.panel.holes import Hole, holes
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.template.order_of_work import jobs, order_of_work, tool_list
from layout.drawing.template.relief_holes import helpers
from layout.drawing.template.sheet_strength import strength
from layout.drawing.template.template_findings import template_findings
from layout.drawing.template.tools import Owned, choose_tool, owned, tolerance_of, tool_tables
from layout.drawing.template.true_scale import MeasuredPrinter
from layout.geometry.shapes import circle, fillet_path, polygon, rectangle
from layout.project.model.device import Tolerance
from layout.project.model.panel import SizeFrom
from layout.project.model.workshop import Workshop
from tests.conftest import ROOT

REFERENCE = yaml.safe_load((ROOT / "tests" / "reference" / "cutouts.yaml").read_text("utf-8"))
DRILLS = (3.0, 4.0, 4.5, 5.0, 6.0, 8.0, 10.0, 12.0)
SAWS = (22.0, 25.0, 29.0, 52.0, 60.0, 68.0, 92.0)
TOOLS = Owned(drills=DRILLS, saws=SAWS)


def round_hole(diameter, *, plus=0.5, minus=0.0):
    """Return a round cut-out."""
    return Hole(mark="1", device="d", name="D", kind="round", path=circle(diameter), at=(0, 0), xy=(0, 0), size="",
                diameter_mm=diameter, tolerance=Tolerance(plus=plus, minus=minus), confirmed=True)  # fmt: skip


def shaped(path, kind="rectangle", corner=0.0):
    """Return a cut-out of another shape."""
    return Hole(mark="1", device="d", name="D", kind=kind, path=path, at=(0, 0), xy=(0, 0), size="", corner_mm=corner,
                confirmed=True)  # fmt: skip


def test_usual_tools_are_the_common_series():
    """The assumed series is the reference's list of common saws and drills."""
    assert tool_tables()["usual"]["saws"] == REFERENCE["hole_saws"]["metric_mm"]
    assert tool_tables()["usual"]["drills"] == REFERENCE["hole_saws"]["drills_mm"]
    assert owned(Workshop()).assumed == ("drills", "saws")
    assert owned(Workshop(saws=(), drills=(3,))).assumed == ()


def test_general_tolerance_is_iso_2768_m():
    """Without a stated tolerance a hole may be larger by ISO 2768-1 class m, never smaller."""
    rows = {6: 0.1, 30: 0.2, 120: 0.3, 400: 0.5, 1000: 0.8}
    listed = dict(REFERENCE["drawing"]["iso_2768"]["rows"])
    assert set(rows.values()) == set(listed.values())
    for most, deviation in rows.items():
        found = tolerance_of(replace(round_hole(most), tolerance=None))
        assert (found.plus, found.minus) == (deviation, 0.0)


def test_a_traced_hole_is_cut_within_the_general_tolerance():
    """How unsure a traced size is does not widen the limits of its hole."""
    hole = replace(round_hole(50.0, plus=0.8, minus=0.8), size_from=SizeFrom.TRACED)
    assert tolerance_of(hole) == tolerance_of(replace(hole, tolerance=None))
    assert tolerance_of(replace(hole, size_from=SizeFrom.MAKER)) == Tolerance(plus=0.8, minus=0.8)


@pytest.mark.parametrize(
    ("diameter", "plus", "minus", "text", "fits"),
    [
        (52.0, 0.5, 0.0, "hole saw 52", True),  # exact
        (51.5, 0.5, 0.0, "hole saw 52", True),  # the saw is the upper limit
        (52.4, 0.6, 0.0, "hole saw 52, open by 0.4 mm", False),  # next smaller, opened by hand
        (52.4, 0.6, 0.4, "hole saw 52", True),  # may be smaller
        (4.4, 0.2, 0.0, "drill 4.5", True),
        (80.0, 0.5, 0.0, "jigsaw", False),  # nothing near: cut round
        (18.0, 0.5, 0.2, "no tool fits", False),  # too small for a jigsaw
    ],
)
def test_each_round_hole_gets_the_tool_within_its_tolerance(diameter, plus, minus, text, fits):
    """The nearest size inside the limits is taken; else what comes closest, and it says so."""
    choice = choose_tool(round_hole(diameter, plus=plus, minus=minus), TOOLS)
    assert (choice.text, choice.fits) == (text, fits)


def with_monitor_at(arrangement, x):
    """Return the arrangement with the battery monitor moved along its row."""
    placed = {**arrangement.placed, "monitor": replace(arrangement.placed["monitor"], x=x)}
    return replace(arrangement, placed=placed)


sizes = st.floats(30, 300)


@given(sizes, sizes, st.floats(0, 14))
def test_relief_holes_lie_inside_and_touch_both_sides(width, height, radius):
    """A relief hole never leaves the cut-out; it touches both sides of its corner, a small one the round's middle."""
    assume(radius < min(width, height) / 2)
    hole = shaped(rectangle(width, height, radius_mm=radius), corner=radius)
    outline = shapely.Polygon(hole.path.points(0.001))
    for helper in helpers(hole, TOOLS):
        disc = shapely.Point(helper.at).buffer(helper.diameter_mm / 2, quad_segs=64)
        assert disc.difference(outline.buffer(0.01)).is_empty
        if helper.kind == "start":
            assert outline.exterior.distance(shapely.Point(helper.at)) >= helper.diameter_mm / 2 + 1.0 - 0.002
        if helper.kind == "relief" and helper.diameter_mm < 2 * radius - 1e-6:
            x, y = (abs(v) for v in helper.at)
            off = math.hypot(x - (width / 2 - radius), y - (height / 2 - radius))
            assert off + helper.diameter_mm / 2 == pytest.approx(radius)
        elif helper.kind == "relief":
            x, y = (abs(v) for v in helper.at)
            assert x + helper.diameter_mm / 2 == pytest.approx(width / 2)
            assert y + helper.diameter_mm / 2 == pytest.approx(height / 2)


def test_exact_relief_leaves_nothing_to_file():
    """A corner of R4 gets an 8 mm hole at the centre of its rounding; a sharp one is left to the file."""
    exact = helpers(shaped(rectangle(100, 60, radius_mm=4), corner=4), TOOLS)
    assert [(h.diameter_mm, h.rest_mm) for h in exact] == [(8.0, 0.0)] * 4
    assert sorted({tuple(round(abs(v), 6) for v in h.at) for h in exact}) == [(46.0, 26.0)]
    sharp = helpers(shaped(rectangle(100, 60)), TOOLS)
    assert [(h.kind, h.diameter_mm, h.rest_mm) for h in sharp] == [("relief", 10.0, 5.0)] * 4


def test_inward_corners_get_no_relief():
    """Only corners of the waste are relieved: a hole in an inward corner would stand in the panel."""
    bay = polygon(((0, 0), (100, 0), (100, 80), (60, 80), (60, 40), (0, 40)))
    found = helpers(shaped(bay), TOOLS)
    assert len([h for h in found if h.kind == "relief"]) == 5


def test_a_jigsaw_gets_a_start_and_an_odd_shape_a_chain():
    """Where no relief hole lets the blade in a start is drilled; odd shapes are chain-drilled inside the line."""
    start = helpers(shaped(rectangle(100, 60, radius_mm=20), corner=20), TOOLS)
    assert [h.kind for h in start] == ["start"]
    odd = shaped(fillet_path(((0, 0), (60, 0), (60, 30), (30, 45), (0, 30)), (3, 3, 3, 3, 3)), kind="odd")
    chain = helpers(odd, TOOLS)
    assert {h.kind for h in chain} == {"chain"}
    outline = shapely.Polygon(odd.path.points(0.001))
    for first, second in zip(chain, [*chain[1:], chain[0]], strict=True):
        disc = shapely.Point(first.at).buffer(first.diameter_mm / 2)
        assert outline.contains(disc)
        assert shapely.Point(first.at).distance(shapely.Point(second.at)) > first.diameter_mm


def test_order_of_work_names_each_sure_hole_once_and_no_guessed_one(project, arrangement):
    """Every hole to be cut appears in a cutting step; guessed and finished ones in none."""
    shapes = panel_shapes(project, arrangement, "console")
    work = jobs(holes(shapes), owned(project.workshop))
    steps = order_of_work(work, shapes.panel, side="front")
    main = [m for s in steps for m in s.marks if "DO NOT CUT" not in s.what and "relief" not in s.what]
    plain = [m for m in main if " " not in m]
    sure = [job.hole.mark for job in work if job.hole.confirmed and job.choice.tool != "none"]
    assert sorted(plain) == sorted(sure)
    guarded = [s for s in steps if s.what.startswith("DO NOT CUT")]
    assert guarded[0].marks == ("4", "4a")
    assert not any(mark.startswith("12") for step in steps for mark in step.marks)
    kinds = [step.tool.rsplit(" ", 1)[0] for step in steps if step.tool]
    assert kinds.index("drill") < kinds.index("hole saw") < kinds.index("jigsaw")
    assert any("52" in row for row in tool_list(work))


def test_strength_against_a_calculation_by_hand(project, arrangement):
    """Webs are the exact gaps, the share removed is the area of all holes over the outline's."""
    shapes = panel_shapes(project, arrangement, "console")
    found = holes(shapes)
    left = strength(shapes, found)
    outline = shapely.Polygon(shapes.outline.points(0.001))
    area = sum(shapely.Polygon(hole.path.points(0.0005)).area for hole in found)
    assert left.removed == pytest.approx(area / outline.area, rel=1e-4)
    # Wind (450, 220) and battery monitor (560, 225): centres 110.11 mm apart, less both radii.
    moved = replace(
        arrangement, placed={**arrangement.placed, "monitor": replace(arrangement.placed["monitor"], x=535.0)}
    )
    near = strength(panel_shapes(project, moved, "console"), holes(panel_shapes(project, moved, "console")))
    web = next(w for w in near.webs if {w.first, w.second} == {"9", "10"})
    assert web.width_mm == pytest.approx((85**2 + 5**2) ** 0.5 - 46 - 26.25, abs=1e-6)


def test_findings_about_cutting(project, arrangement):
    """Tool, guess, web, thickness, weight and printer are each found, with value and limit."""
    thin = replace(project.panels["console"], thickness=5.0)
    heavy = replace(project.devices["plotter"], weight=12.0)
    unlisted = replace(project.workshop, saws=None)
    panels, devices = {**project.panels, "console": thin}, {**project.devices, "plotter": heavy}
    changed = replace(project, panels=panels, devices=devices, workshop=unlisted)
    close = replace(
        arrangement, placed={**arrangement.placed, "monitor": replace(arrangement.placed["monitor"], x=526.0)}
    )
    found = template_findings(changed, close, measured=MeasuredPrinter(across_mm=98, up_mm=100))
    by_rule = {f.rule: f for f in found}
    assert set(by_rule) == {"cut 1", "cut 2", "cut 3", "cut 10", "cut 12", "cut 13", "cut 20"}
    assert by_rule["cut 10"].limit == 10
    assert by_rule["cut 10"].measured == pytest.approx((76**2 + 5**2) ** 0.5 - 72.25, abs=1e-6)
    assert "devices.plotter" in by_rule["cut 12"].subjects
    assert (by_rule["cut 12"].measured, by_rule["cut 12"].limit) == (5.0, 18.0)
    assert by_rule["cut 20"].measured == 98
    tools = {f.message for f in template_findings(project, arrangement) if f.rule == "cut 1"}
    assert any("52.4 to 53 mm" in message for message in tools)


def test_too_much_removed_is_found(project, arrangement):
    """A sheet that loses more than its material's share is found."""
    shapes = panel_shapes(project, arrangement, "console")
    acrylic = replace(project, panels={**project.panels, "console": replace(shapes.panel, material="acrylic")})
    rules = {f.rule for f in template_findings(acrylic, arrangement)}
    assert "cut 11" not in rules
    small = replace(
        acrylic.panels["console"],
        outline=replace(shapes.panel.outline, path=((0, 0), (1010, 0), (1010, 360), (0, 360))),
    )
    assert "cut 11" in {f.rule for f in template_findings(replace(acrylic, panels={"console": small}), arrangement)}


def test_a_wide_tool_and_a_full_sheet_are_found(project, arrangement):
    """A cut-out narrower than the machine's tool is found by name, and so is a name without room to engrave it."""
    wide = replace(project, workshop=replace(project.workshop, kerf=60.0))
    found = [f for f in template_findings(wide, arrangement) if f.rule == "cut 4"]
    assert {f.subjects[0] for f in found} == {"devices.tank", "devices.monitor", "devices.socket"}
    assert all(f.limit == 60.0 for f in found)
    long = replace(project.devices["bar"], legend=("A LEGEND MUCH TOO LONG FOR SUCH A BOARD " * 4,))
    full = template_findings(replace(project, devices={**project.devices, "bar": long}), arrangement)
    assert [f.subjects for f in full if f.rule == "cut 5"] == [("panels.board",)]
