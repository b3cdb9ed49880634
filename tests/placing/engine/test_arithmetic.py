"""The arithmetic of the engine: rows, slabs, cores, prechecks, ties, subsets."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.placing.engine.boxes import box_region
from layout.placing.engine.cores import sound_cores
from layout.placing.engine.kernel.ties import ties
from layout.placing.engine.precheck import prechecks
from layout.placing.engine.problem import (
    AbsTerm,
    AllowedRoom,
    FixedAt,
    ForbiddenRegion,
    Linear,
    LinearRule,
    PackItem,
    Problem,
    StepBox,
    TurnOption,
)
from layout.placing.engine.rows import bounds, needed_regions
from layout.placing.engine.slabs import disjoint, union_area
from layout.placing.engine.subset import restricted
from tests.placing.engine.boxes import BoxPairs, box_room
from tests.placing.engine.instances import boxes

small = st.integers(-6, 6)
spans = st.tuples(small, small).map(lambda pair: (min(pair), max(pair)))
boxes_drawn = st.tuples(spans, spans).map(lambda s: StepBox(s[0][0], s[1][0], s[0][1], s[1][1]))
rows_drawn = st.tuples(small, small, st.integers(-12, 12)).filter(lambda row: bool(row[0] or row[1]))


@given(st.lists(rows_drawn, max_size=3))
def test_bounds_hold_every_position_and_no_more(rows: list[tuple[int, int, int]]) -> None:
    """The bounds of a room hold all its whole positions, and are met on a side when the room is upright."""
    room = AllowedRoom((*box_room(-6, -6, 6, 6).rows, *rows))
    inside = [(x, y) for x in range(-7, 8) for y in range(-7, 8) if room.holds(x, y)]
    box = bounds(room)
    if box is None:
        assert inside == []
    else:
        assert all(box.x0 <= x <= box.x1 and box.y0 <= y <= box.y1 for x, y in inside)
        if all(not (a and b) for a, b, _ in rows):
            assert {x for x, _ in inside} == set(range(box.x0, box.x1 + 1))


def test_open_room_is_refused() -> None:
    """A room that is open on a side is an error, not a very large room."""
    with pytest.raises(ValueError, match="open on one side"):
        bounds(AllowedRoom(((1, 0, 5), (0, 1, 5), (0, -1, 0))))


@given(st.lists(boxes_drawn, max_size=5))
def test_slabs_have_the_same_union_and_never_overlap(drawn: list[StepBox]) -> None:
    """Cells in the slabs are the cells in the boxes, each in one slab only."""
    slabs = disjoint(drawn)
    cells = [(x, y) for x in range(-6, 6) for y in range(-6, 6)]

    def count(boxes: list[StepBox], x: int, y: int) -> int:
        return sum(box.x0 <= x < box.x1 and box.y0 <= y < box.y1 for box in boxes)

    assert all(count(slabs, x, y) == min(1, count(drawn, x, y)) for x, y in cells)
    assert union_area(drawn) == sum(1 for x, y in cells if count(drawn, x, y))


@given(st.lists(st.lists(rows_drawn, min_size=1, max_size=5), max_size=4))
def test_needed_regions_forbid_the_same(drawn: list[list[tuple[int, int, int]]]) -> None:
    """Leaving out regions that lie in others, or are empty, forbids the same whole offsets."""
    regions = tuple(ForbiddenRegion(tuple(rows)) for rows in drawn)
    kept = needed_regions(regions)
    for x in range(-8, 9):
        for y in range(-8, 9):
            assert any(r.holds(x, y) for r in regions) == any(r.holds(x, y) for r in kept)


def test_cores_too_large_are_shrunk() -> None:
    """Cores stated for a gap of 2 shrink by 2 when the gap is left out, and stay when it is not."""
    problem = boxes([(4, 3), (2, 2), (3, 1)], 20, 20, gap=2)
    assert [core[0].width for core in sound_cores(problem) if core] == [6, 4, 5]
    loosened = replace(problem, pairs=BoxPairs(faces=problem.pairs.faces, gap=0))  # type: ignore[attr-defined]
    assert [core[0].width for core in sound_cores(loosened) if core] == [4, 2, 3]


def test_cores_that_no_rule_supports_are_dropped() -> None:
    """An item that may stand anywhere, rule or no rule, keeps no core; the others keep theirs."""
    problem = boxes([(4, 3), (2, 2), (3, 1)], 20, 20)
    free = restricted(problem, (0, 1, 2)).problem

    class Some:
        def between(self, i: int, turn_i: int, j: int, turn_j: int) -> tuple[ForbiddenRegion, ...]:
            return () if 2 in (i, j) else problem.pairs.between(i, turn_i, j, turn_j)

    found = sound_cores(replace(free, pairs=Some()))
    assert [core is not None for core in found] == [True, True, False]


def test_prechecks_name_what_is_too_large() -> None:
    """A box wider than the panel is named, in words."""
    faults = prechecks(boxes([(4, 3), (30, 2)], 20, 20))
    assert [(fault.kind, fault.message) for fault in faults] == [("too large", "K2 fits nowhere on its panel, alone")]


def test_prechecks_name_what_must_stack() -> None:
    """Three boxes wider than half the panel whose heights do not add up are named, with both figures in mm."""
    faults = prechecks(boxes([(12, 8), (11, 7), (13, 6), (2, 2)], 20, 20))
    stack = next(fault for fault in faults if fault.kind == "stack")
    assert stack.items == (0, 1, 2)
    assert (stack.measured, stack.limit) == (10.5, 10.0)
    assert "K1, K2, K3 are too wide to stand side by side" in stack.message


def test_prechecks_compare_areas() -> None:
    """Boxes whose areas add up to more than the panel are refused with both areas."""
    faults = prechecks(boxes([(9, 9)] * 5, 20, 20))
    area_fault = next(fault for fault in faults if fault.kind == "area")
    assert (area_fault.measured, area_fault.limit, area_fault.unit) == (101.25, 100.0, "mm2")


def test_prechecks_see_pins_that_collide() -> None:
    """Two pins that overlap are named with the rule; two that do not are fine."""
    problem = boxes([(4, 4), (4, 4)], 20, 20)

    def pinned(x: int) -> Problem:
        items = tuple(replace(item, pin=FixedAt(x=at, y=0)) for item, at in zip(problem.items, (0, x), strict=True))
        return replace(problem, items=items)

    assert [fault.message for fault in prechecks(pinned(3))] == ["K1 and K2 are pinned closer than gap allows"]
    assert prechecks(pinned(4)) == ()


def test_equal_and_mirrored_items_are_tied() -> None:
    """Two rules that make an equality tie the items, with the sign of their movement, and ties are followed."""
    same = Linear(terms=((0, 0, 1), (1, 0, -1)), const=3)
    mirrored = Linear(terms=((1, 0, 1), (2, 0, 1)), const=-9)

    def both(expr: Linear) -> tuple[LinearRule, LinearRule]:
        turned = Linear(terms=tuple((i, a, -c) for i, a, c in expr.terms), const=-expr.const)
        return LinearRule(name="tie", expr=expr), LinearRule(name="tie", expr=turned)

    problem = boxes([(1, 1)] * 3, 9, 9, rules=(*both(same), *both(mirrored)))
    along_x, along_y = ties(problem)
    assert along_x == {0: ((1, 1), (2, -1)), 1: ((0, 1), (2, -1)), 2: ((0, -1), (1, -1))}
    assert along_y == {}


def test_subset_keeps_only_what_looks_at_its_items() -> None:
    """A subset has the wishes and rules of its own items, with their new indices."""
    wish = AbsTerm(name="near", weight=2, expr=Linear(terms=((0, 0, 1), (2, 0, -1))))
    other = AbsTerm(name="alone", weight=1, expr=Linear(terms=((1, 0, 1),)))
    problem = boxes([(1, 1), (2, 2), (3, 3)], 9, 9, terms=(wish, other))
    part = restricted(problem, (2, 0))
    assert part.items == (0, 2)
    assert part.terms == (0,)
    assert part.problem.terms == (replace(wish, expr=Linear(terms=((0, 0, 1), (1, 0, -1)))),)
    assert part.problem.pairs.between(0, 0, 1, 0) == problem.pairs.between(0, 0, 2, 0)


def test_wrong_problems_are_refused_where_they_are_made() -> None:
    """A region without a normal, a negative weight, two items of one name: each is an error that says so."""
    with pytest.raises(ValueError, match="needs a normal"):
        ForbiddenRegion(((0, 0, 1),))
    room = box_room(0, 0, 1, 1)
    item = PackItem(name="K1", turns=(TurnOption(rooms=(room,)),))
    with pytest.raises(ValueError, match="same name"):
        Problem(items=(item, item))
    with pytest.raises(ValueError, match="weight"):
        Problem(items=(item,), terms=(AbsTerm(name="w", weight=-1, expr=Linear(terms=((0, 0, 1),))),))
    with pytest.raises(ValueError, match="pinned with turn 3"):
        replace(item, pin=FixedAt(x=0, y=0, turn=3))


@given(boxes_drawn, boxes_drawn, st.integers(0, 3), small, small)
def test_box_region_is_what_it_says(one: StepBox, two: StepBox, gap: int, dx: int, dy: int) -> None:
    """An offset is forbidden exactly when both distances, along x and along y, are less than the gap."""
    moved = two.at(dx, dy)
    apart_x = max(moved.x0 - one.x1, one.x0 - moved.x1)
    apart_y = max(moved.y0 - one.y1, one.y0 - moved.y1)
    assert box_region(one, two, gap=gap).holds(dx, dy) == (apart_x < gap and apart_y < gap)
