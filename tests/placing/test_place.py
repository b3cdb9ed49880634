"""Placing: what comes back holds every rule, is the same each time, and pulls as the wishes say."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.findings import has_stops
from layout.placing.by_components import Effort, SolvedComponents
from layout.placing.judge import judge, refusals
from layout.placing.place import place
from layout.placing.time_limit import TimeLimit
from layout.placing.words import NOT_PROVEN
from layout.project.model.device import Behind, Pin, PlugRoom
from layout.project.model.keys import End
from layout.project.model.panel import CableExit, DepthPoint, DepthStep, Layer, NoGo, OldHole, Reserved
from layout.project.model.rules import Relation
from layout.project.model.wishes import Wish
from tests.conftest import FULL
from tests.placing.projects import (
    arrangement,
    device,
    disc,
    gauge,
    hinged,
    mixed,
    panel,
    project,
    rect,
    relations,
    wishes,
)

if TYPE_CHECKING:
    from layout.project.model.arrangement import Placed
    from layout.project.model.project import Project


def solved(one: Project, **more: Any) -> dict[str, Placed]:
    """Return where a project's devices were placed; an arrangement must be there."""
    placing = place(one, effort=Effort.QUICK, **more)
    assert placing.arrangement is not None, placing.proven
    assert placing.arrangement.proof != "not usable", [finding.message for finding in placing.findings]
    return dict(placing.arrangement.placed)


@settings(max_examples=10 if FULL else 3)
@given(seed=st.integers(0, 10_000))
def test_what_is_placed_is_judged_good(seed: int) -> None:
    """An arrangement that placing calls valid passes the judge without ever being refused before."""
    one = mixed(seed, devices=4)
    placing = place(one, effort=Effort.QUICK)
    if placing.arrangement is not None and placing.arrangement.proof != "not usable":
        assert not refusals(judge(one, placing.arrangement))
    assert not [finding.message for finding in placing.findings if finding.rule == "fit 5"]


def test_same_input_gives_the_same_arrangement() -> None:
    """Two runs with one seed agree in every position, value, bound and word."""
    one = mixed(3, devices=3)
    assert place(one, effort=Effort.QUICK, seed=7) == place(one, effort=Effort.QUICK, seed=7)


def test_pinned_device_stays_even_off_the_grid() -> None:
    """A pin at a position that no grid has is kept to the last digit."""
    placed = solved(project(device("a", pin=Pin(x=101.37, y=77.713)), device("b")))
    assert (placed["a"].x, placed["a"].y) == (101.37, 77.713)


def test_pin_of_one_coordinate_leaves_the_other_free() -> None:
    """A pin that gives x alone holds x; the wish then sets y."""
    wish = Wish(wish="near point", point=(300.0, 200.0), devices=("a",))
    placed = solved(project(device("a", pin=Pin(x=120.0)), wishes=wishes(wish)))
    assert (placed["a"].x, placed["a"].y) == (120.0, 200.0)


def test_cut_hole_stays_where_the_register_has_it() -> None:
    """A device whose hole is cut keeps its chosen position; the others are placed round it."""
    chosen = arrangement(a=(90.0, 60.0))
    placed = solved(project(device("a", work_state="cut"), device("b")), chosen=chosen)
    assert placed["a"] == chosen.placed["a"]


def test_keep_holds_named_devices_and_frees_the_rest() -> None:
    """Kept devices stand where the chosen arrangement has them; one that is not kept follows its wish."""
    chosen = arrangement(a=(90.0, 60.0), b=(200.0, 60.0))
    wish = Wish(wish="near corner", corner="top right", devices=("a", "b"))
    placed = solved(project(device("a"), device("b"), wishes=wishes(wish)), chosen=chosen, keep=("a",))
    assert placed["a"] == chosen.placed["a"]
    assert placed["b"].x > 300


def test_keeping_what_has_no_place_is_refused() -> None:
    """Keeping a device without a chosen position is an error that names it, and nothing is solved."""
    placing = place(project(device("a"), device("b")), keep=("b",), effort=Effort.QUICK)
    assert placing.arrangement is None
    assert has_stops(placing.findings)
    assert "b is to be kept" in placing.findings[0].message


def test_device_turns_only_where_it_may() -> None:
    """A tall narrow panel takes a wide device only turned; without that turn it fits nowhere."""
    narrow = panel(120, 400)
    assert solved(project(device("a", 200, 60, turns=(0, 90)), panels=(narrow,)))["a"].turn == 90
    placing = place(project(device("a", 200, 60), panels=(narrow,)), effort=Effort.QUICK)
    assert placing.infeasible
    assert "200 x 60 mm" in placing.findings[0].message


def test_device_goes_where_it_is_deep_enough() -> None:
    """On a panel that is shallow on the left a deep device stands on the right, against its wish."""
    deep = device("a", behind=(Behind(shape=rect(40, 20), depth=90.0),))
    wish = wishes(Wish(wish="near edge", edge="left", devices=("a",)))
    stepped = panel(depth=200.0, depth_steps=(DepthStep(shape=rect(200, 300, (100, 150)), depth=80.0),))
    assert solved(project(deep, panels=(stepped,), wishes=wish))["a"].x == 220.0
    points = tuple(
        DepthPoint(at=at, depth=depth)
        for at, depth in (((0, 0), 100.0), ((400, 0), 180.0), ((400, 300), 180.0), ((0, 300), 100.0))
    )
    sloping = panel(depth=None, depth_at=points)
    # 130 mm are needed and there from x = 150 on; the body reaches 20 mm to the left.
    assert solved(project(deep, panels=(sloping,), wishes=wish))["a"].x == 170.0


def test_unknown_depth_takes_no_room_lightly() -> None:
    """A body of unknown depth is placed, clear of all others behind, and its missing depth is an error."""
    unknown = device("a", behind=(Behind(shape=rect(40, 20)),))
    placing = place(project(unknown, device("b")), effort=Effort.QUICK)
    assert placing.arrangement is not None
    assert "panel 7" in {finding.rule for finding in placing.findings}


def test_keep_out_holds_for_its_layer_only() -> None:
    """A face stays off a front keep-out; one behind the sheet only matters to bodies deep enough."""
    wish = wishes(Wish(wish="near point", point=(200.0, 150.0)))
    zone = {"z": NoGo(id="z", shape=rect(100, 100, (200, 150)), layer=(Layer.FRONT,))}
    spot = solved(project(device("a"), panels=(panel(no_go=zone),), wishes=wish))["a"]
    assert abs(spot.x - 200) >= 80 or abs(spot.y - 150) >= 70
    behind = {"z": NoGo(id="z", shape=rect(100, 100, (200, 150)), layer=(Layer.REAR,), from_depth=90.0)}
    spot = solved(project(device("a"), panels=(panel(no_go=behind),), wishes=wish))["a"]
    assert (spot.x, spot.y) == (200.0, 150.0)


def test_circle_nestles_into_a_round_corner() -> None:
    """A round device stands deeper in a rounded corner than its bounding box could."""
    round_panel = panel(outline=rect(400, 300, (200, 150), radius=100), edge=10.0)
    wish = wishes(Wish(wish="near corner", corner="bottom left"))
    spot = solved(project(gauge("a", 100), panels=(round_panel,), wishes=wish, rules=relations(hole_gap=15.0)))["a"]
    # The box of a 100 mm face with 10 mm edge can't come nearer to a corner of radius 100 than about 86 mm.
    assert spot.x + spot.y < 2 * 86


def test_old_hole_ends_under_a_face() -> None:
    """A hole that is to be covered lies under some face, although no wish asks for it."""
    holed = panel(old_holes={"o": OldHole(id="o", shape=disc(20, (330, 240)))})
    wish = wishes(Wish(wish="near corner", corner="bottom left"))
    placed = solved(project(device("a"), device("b"), panels=(holed,), wishes=wish))
    assert any(abs(one.x - 330) <= 20 and abs(one.y - 240) <= 10 for one in placed.values())


def test_reserved_room_is_found_a_place() -> None:
    """Room without a place of its own is kept free somewhere, and the outcome says where."""
    roomy = panel(300, 200, reserved={"later": Reserved(id="later", size=(120.0, 80.0))})
    placing = place(project(device("a", 120, 80), device("b", 90, 60), panels=(roomy,)), effort=Effort.QUICK)
    assert placing.arrangement is not None
    assert [room.device for room in placing.rooms] == ["panels.main.reserved.later"]
    assert not refusals(judge(project(device("a", 120, 80), device("b", 90, 60), panels=(roomy,)), placing.arrangement))


def test_solver_chooses_the_panel() -> None:
    """A device that may stand on two panels stands on the one where it fits, and where its wish draws it."""
    small, large = panel(90, 90, id="small"), panel(400, 300, id="large")
    both = {"panel": ("small", "large")}
    placed = solved(project(device("a", 200, 100, **both), device("b", 50, 40, **both), panels=(small, large)))
    assert placed["a"].panel == "large"
    wish = wishes(Wish(wish="near point", point=(45.0, 45.0), devices=("b",)))
    one = project(device("a", 200, 100, **both), device("b", 50, 40, **both), panels=(small, large), wishes=wish)
    assert solved(one)["b"].x == 45.0


A, B, C = device("a"), device("b", 90, 50), device("c", 40, 44)


@pytest.mark.parametrize(
    ("bound", "holds"),
    [
        (
            Relation(left_to_right=("c", "a", "b")),
            lambda p: p["c"].x + 20 <= p["a"].x - 30 and p["a"].x + 30 <= p["b"].x - 45,
        ),
        (Relation(top_to_bottom=("a", "c")), lambda p: p["a"].y - 20 >= p["c"].y + 22),
        (Relation(row=("a", "b", "c")), lambda p: p["a"].y == p["b"].y == p["c"].y),
        (Relation(row=("a", "b"), by="low"), lambda p: p["a"].y - 20 == p["b"].y - 25),
        (Relation(column=("a", "b", "c"), by="high"), lambda p: p["a"].x + 30 == p["b"].x + 45 == p["c"].x + 20),
        (Relation(on_side=("a", "c"), side="top"), lambda p: min(p["a"].y - 20, p["c"].y - 22) >= 150),
        (
            Relation(in_zone=("b",), zone=rect(120, 60, (100, 240))),
            lambda p: abs(p["b"].x - 100) <= 15 and abs(p["b"].y - 240) <= 5,
        ),
        (Relation(group=("b", "a", "c"), gap=4.0), lambda p: p["a"].x - p["b"].x == 79 and p["c"].x - p["a"].x == 54),
        (Relation(group=("a", "b"), gap=0.0, run="up"), lambda p: p["b"].y - p["a"].y == 45 and p["a"].x == p["b"].x),
        (Relation(mirrored=("a", "c")), lambda p: p["a"].x + p["c"].x == 400 and p["a"].y == p["c"].y),
        (Relation(mirrored=("b", "c"), about=180.0), lambda p: p["b"].x + p["c"].x == 360 and p["b"].y == p["c"].y),
    ],
    ids=lambda value: value.kind if isinstance(value, Relation) else "",
)
def test_each_relation_holds(bound: Relation, holds: Any) -> None:
    """Each kind of relation holds in the result, though a wish draws all devices to one corner."""
    wish = wishes(Wish(wish="near corner", corner="bottom right"))
    assert holds(solved(project(A, B, C, rules=relations(bound), wishes=wish)))


def one_wish(wish: Wish, *devices: Any, **more: Any) -> dict[str, Placed]:
    """Solve with one wish and nothing else."""
    return solved(project(*devices, wishes=wishes(wish), **more))


def test_each_wish_pulls_as_it_says() -> None:
    """Every kind of wish ends at the position that its words describe."""
    assert one_wish(Wish(wish="near point", point=(111.5, 93.0)), A)["a"].x == 111.5
    assert one_wish(Wish(wish="near edge", edge="top"), A)["a"].y == 300 - 15 - 20
    corner = one_wish(Wish(wish="near corner", corner="top left"), A)["a"]
    assert (corner.x, corner.y) == (45.0, 265.0)
    near = one_wish(Wish(wish="near device", to="b", devices=("a",)), A, replace(B, pin=Pin(x=200.0, y=150.0)))["a"]
    assert abs(near.x - 200) <= 85
    assert abs(near.y - 150) <= 55
    low = panel(above_sole=1000.0)
    band = Wish(wish="eye band", eye_height=1200.0, within=30.0)
    assert abs(one_wish(band, device("a", eye=True), panels=(low,))["a"].y - 200) <= 30
    hand = Wish(wish="reach", eye_height=1060.0)
    assert one_wish(hand, device("a", reach=True), panels=(low,))["a"].y == 60.0
    assert one_wish(Wish(wish="symmetry"), A)["a"].x == 200.0
    pair = one_wish(Wish(wish="symmetry", devices=("a", "b")), A, B)
    assert (pair["a"].x + pair["b"].x, pair["a"].y) == (400.0, pair["b"].y)
    assert one_wish(Wish(wish="mass to hinge"), device("a", weight=1.0), panels=(hinged(),))["a"].x == 45.0


def test_aligned_devices_share_a_line() -> None:
    """Three devices drawn to points apart share edges or centre lines once that is worth more."""
    wanted = [
        Wish(wish="near point", point=at, devices=(key,))
        for key, at in (("a", (90, 80)), ("b", (200, 90)), ("c", (320, 84)))
    ]
    placing = place(project(A, B, C, wishes=wishes(*wanted, Wish(wish="aligned"))), effort=Effort.QUICK)
    assert placing.arrangement is not None
    assert placing.arrangement.by_wish["aligned"] == 0


def test_even_spacing_makes_equal_gaps() -> None:
    """Gaps between neighbours come out equal where the ends are pinned."""
    one = project(
        replace(A, pin=Pin(x=60.0, y=100.0)), replace(B, pin=Pin(y=100.0)), replace(C, pin=Pin(x=330.0, y=100.0)),
        wishes=wishes(Wish(wish="even spacing", devices=("a", "b", "c"))),
    )  # fmt: skip
    placed = solved(one)
    assert placed["b"].x - 45 - (60 + 30) == pytest.approx(330 - 20 - placed["b"].x - 45, abs=1.0)


def test_short_cables_draw_to_the_entry_by_copper() -> None:
    """The heavier circuit's device stands at the cable entry, the lighter one next to it, one gap above."""
    from layout.project.model.circuits import Circuit, Load
    from layout.project.model.supplies import Supply

    circuits = {
        "light": Circuit(id="light", from_=End.read("bank"), to=End.read("a"), purpose="lamp", load=Load(current=2.0)),
        "heavy": Circuit(
            id="heavy", from_=End.read("bank"), to=End.read("b"), purpose="winch", load=Load(current=60.0)
        ),
    }
    one = project(
        device("a"), device("b"),
        panels=(panel(cable_exit=CableExit(at=(200.0, 0.0), location="here")),),
        wishes=wishes(Wish(wish="short cables")),
        circuits=circuits,
        supplies={"bank": Supply(id="bank", kind="battery", voltage=12.0)},
    )  # fmt: skip
    placed = solved(one)
    assert (placed["b"].x, placed["b"].y) == (200.0, 35.0)
    assert (placed["a"].x, placed["a"].y) == (200.0, 85.0)


def test_large_blank_is_left() -> None:
    """A blank that is wished for is left free, and its place is told."""
    wanted = [Wish(wish="near point", point=(200.0, 150.0)), Wish(wish="large blank", size=(200.0, 200.0), weight=50)]
    placing = place(project(A, B, C, wishes=wishes(*wanted)), effort=Effort.QUICK)
    assert [room.device for room in placing.rooms] == ["large blank"]


def test_nothing_found_and_nothing_proven_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """A search that comes back with neither an arrangement nor a proof is an error that claims neither."""
    monkeypatch.setattr("layout.placing.place.solve_components", lambda *_, **__: SolvedComponents())
    placing = place(project(A, B), effort=Effort.QUICK)
    assert (placing.arrangement, placing.infeasible) == (None, False)
    assert [finding.rule for finding in placing.findings] == ["fit 3"]
    assert placing.proven == NOT_PROVEN


def test_blank_that_is_not_left_is_noted() -> None:
    """A blank for which there is no room beside the devices is no fault, and is said."""
    wanted = Wish(wish="large blank", size=(390.0, 290.0), weight=1)
    placing = place(project(A, B, C, wishes=wishes(wanted)), effort=Effort.QUICK)
    assert placing.arrangement is not None
    assert placing.rooms == ()
    (note,) = [finding for finding in placing.findings if finding.rule == "fit 9"]
    assert note.message == "the wish 'large blank' is not met: no room of that size is left"


def test_preset_only_sets_weights() -> None:
    """A preset multiplies what is stated and adds its own base wishes under its name, and no other."""
    stated = Wish(wish="aligned", devices=("a", "b"))
    plain = place(project(A, B, wishes=wishes(stated)), effort=Effort.QUICK)
    tidy = place(project(A, B, wishes=wishes(stated, preset="tidy")), effort=Effort.QUICK)
    assert plain.arrangement is not None
    assert tidy.arrangement is not None
    assert set(tidy.arrangement.by_wish) - set(plain.arrangement.by_wish) <= {
        "short cables (preset tidy)",
        "tidy (preset tidy)",
    }


def test_wish_that_can_not_be_counted_is_noted() -> None:
    """A wish for the eye band on a panel of unknown height is left out with a note that says what is missing."""
    band = Wish(wish="eye band", eye_height=1200.0, devices=("a",), name="instruments high")
    placing = place(project(A, wishes=wishes(band)), effort=Effort.QUICK)
    notes = [finding for finding in placing.findings if finding.rule == "fit 4"]
    assert len(notes) == 1
    assert "instruments high" in notes[0].message
    assert notes[0].remedy == "give panels.main.above_sole"


def test_optimum_is_proven_and_worded() -> None:
    """A single device with one wish is proven optimal, in the words of the house."""
    one = project(A, wishes=wishes(Wish(wish="near point", point=(0.0, 0.0))))
    assert place(one, effort=Effort.THOROUGH).proven == "optimal on the 0.5 mm grid for these shapes"


def test_an_ordinary_run_claims_nothing_about_the_best() -> None:
    """Without proof the words say that it was not asked for, work is counted, and no clock is named."""
    one = project(A, B, wishes=wishes(Wish(wish="near point", point=(150.0, 150.0))))
    placing = place(one)
    assert placing.arrangement is not None
    assert placing.proven.endswith("how near the best is for spile prove to say")
    assert placing.arrangement.bound is None
    assert placing.arrangement.work > 0
    assert not placing.arrangement.clock_struck
    assert placing == place(one)


def test_a_time_limit_that_strikes_is_told() -> None:
    """Only who sets a time limit can meet the clock: then the register and a note say that it struck."""
    one = project(A, B, wishes=wishes(Wish(wish="near point", point=(150.0, 150.0))))
    placing = place(one, stop=TimeLimit(0.0))
    assert placing.arrangement is not None
    assert placing.arrangement.clock_struck
    assert [finding.rule for finding in placing.findings] == ["fit 6"]
    assert place(one, stop=TimeLimit(3600.0)) == place(one)


def test_more_than_fits_is_proven_not_to() -> None:
    """Three wide devices that must stand above each other and are half a millimetre too high are proven not to fit."""
    one = project(device("a", 250, 84), device("b", 250, 84), device("c", 250, 82.5))
    placing = place(one, effort=Effort.QUICK)
    assert placing.infeasible
    assert placing.proven.startswith("no arrangement holds all rules")
    assert solved(project(device("a", 250, 84), device("b", 250, 84), device("c", 250, 82.0)))


def test_a_device_of_its_size_fits_into_reserved_room() -> None:
    """Where room is reserved, a device of its size stands with gap, web, edge and depth kept; the register has it."""
    roomy = panel(300, 200, reserved={"later": Reserved(id="later", size=(90.0, 60.0), depth=50.0)})
    placing = place(project(device("a", 120, 80), panels=(roomy,)), effort=Effort.QUICK)
    assert placing.arrangement is not None
    spot = placing.arrangement.rooms["panels.main.reserved.later"]
    later = device(
        "later",
        90,
        60,
        cutout=(rect(90, 60),),
        behind=(Behind(shape=rect(90, 60), depth=50.0),),
        plug_room=PlugRoom(depth=0.0),
    )
    filled = {**placing.arrangement.placed, "later": replace(spot, device="later")}
    both = project(device("a", 120, 80), later, panels=(panel(300, 200),))
    assert not refusals(judge(both, replace(placing.arrangement, placed=filled, rooms={})))


def test_wish_that_names_a_panel_draws_to_it() -> None:
    """A device that may stand on either of two like panels goes to the one that its wish names."""
    both = device("a", panel=("left", "right"))
    for name in ("left", "right"):
        wish = Wish(wish="near point", point=(100.0, 100.0), panel=name, devices=("a",))
        placed = solved(project(both, panels=(panel(id="left"), panel(id="right")), wishes=wishes(wish)))
        assert (placed["a"].panel, placed["a"].x, placed["a"].y) == (name, 100.0, 100.0)
