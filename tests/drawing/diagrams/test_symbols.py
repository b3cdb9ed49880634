"""Circuit symbols keep to the box they declare."""

from __future__ import annotations

import pytest

from layout.drawing.diagrams.symbols import SYMBOL_NAMES, symbol
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import FillPath, StrokePath, Text, scene_leaves


@pytest.mark.parametrize("name", SYMBOL_NAMES)
def test_a_symbol_stays_inside_what_it_declares(name):
    """No stroke, fill or letter of a symbol leaves its width, up_mm and down_mm."""
    made = symbol(name)
    for item in scene_leaves(made.items):
        box = text_box(item) if isinstance(item, Text) else item.path.bounds()
        assert box.x0 >= -1e-6
        assert box.x1 <= made.width_mm + 1e-6
        assert -made.down_mm - 1e-6 <= box.y0
        assert box.y1 <= made.up_mm + 1e-6


@pytest.mark.parametrize("name", [name for name in SYMBOL_NAMES if name != "change-over switch"])
def test_leads_reach_both_ends(name):
    """A conductor that is said to join on a side finds the symbol's lead there."""
    made = symbol(name)
    xs = [
        point[0]
        for item in scene_leaves(made.items)
        if isinstance(item, StrokePath)
        for segment in item.path.segments
        for point in (segment.start, segment.end)
        if abs(point[1]) < 1e-6
    ]
    if made.left:
        assert min(xs) == pytest.approx(0)
    if made.right:
        assert max(xs) == pytest.approx(made.width_mm)


def test_a_fuse_is_a_box_with_the_conductor_through_it():
    """IEC 60617 (from memory): the fuse's rectangle lies on the conductor, which passes through whole."""
    paths = [item.path for item in scene_leaves(symbol("fuse").items) if isinstance(item, StrokePath)]
    closed = [path for path in paths if path.closed]
    through = [path for path in paths if not path.closed]
    assert len(closed) == 1
    assert len(through) == 1
    assert through[0].start == (0, 0)
    assert through[0].end == (10, 0)


def test_an_unknown_symbol_is_refused():
    """A name that is no symbol raises."""
    with pytest.raises(KeyError):
        symbol("flux gate")


def test_a_breaker_is_a_contact_with_a_cross():
    """IEC 60617 (from memory): the cross at the fixed contact tells a breaker from a switch."""
    plain = [item for item in scene_leaves(symbol("switch").items) if isinstance(item, StrokePath | FillPath)]
    breaker = [item for item in scene_leaves(symbol("breaker").items) if isinstance(item, StrokePath | FillPath)]
    assert breaker[: len(plain)] == plain
    assert len(breaker) == len(plain) + 2
