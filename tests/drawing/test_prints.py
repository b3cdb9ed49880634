"""Terminal blocks, legends, labels and swatches: nothing cut off that matters, all at true size."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from layout.drawing.diagrams.label_sheet import SIZES, LabelSize, WireLabel, label_fits, label_sheets
from layout.drawing.diagrams.legend import LegendCell, legend_strips
from layout.drawing.diagrams.terminal_block import BlockWire, Position, terminal_block
from layout.drawing.elements.colours import CONDUCTORS
from layout.drawing.elements.label_placing import box_holds
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import FillPath, StrokePath, Text, scene_leaves
from layout.drawing.elements.swatch import inks, swatch
from layout.geometry.path import Box
from layout.standards.colours import letter_code


def _texts(scene):
    return [item for item in scene_leaves(scene.items) if isinstance(item, Text)]


def _clear(scene):
    boxes = [(text.content, text_box(text)) for text in _texts(scene)]
    page = Box(0, 0, scene.width_mm, scene.height_mm)
    assert [content for content, box in boxes if not box_holds(page, box)] == []
    for (one, a), (two, b) in combinations(boxes, 2):
        assert a.x1 <= b.x0 + 0.05 or b.x1 <= a.x0 + 0.05 or a.y1 <= b.y0 + 0.05 or b.y1 <= a.y0 + 0.05, (one, two)


def _wire(number: str) -> BlockWire:
    return BlockWire(number=number, code="YE", colour="yellow", size="2.5 mm²", to="Masthead light -")


def test_every_wire_of_a_block_stands_at_its_position():
    """Number, letters, size and destination of each wire are on the picture, and a free stud says so."""
    positions = [Position(mark="1", stud="M8", wires=(_wire("012a-"), _wire("013a-"))), Position(mark="2", stud="M6")]
    (scene,) = terminal_block("Negative bar", positions)
    words = [text.content for text in _texts(scene)]
    assert "012a-  YE  2.5 mm²  →  Masthead light -" in words
    assert "013a-  YE  2.5 mm²  →  Masthead light -" in words
    assert "free" in words
    _clear(scene)


def test_a_long_block_is_broken_into_parts():
    """Forty positions on 100 mm give parts that together hold all marks, each no wider than the room."""
    scenes = terminal_block("Bar", [Position(mark=str(n), wires=(_wire(f"{n}a+"),)) for n in range(40)], room_mm=100)
    marks = {text.content for scene in scenes for text in _texts(scene)}
    assert len(scenes) > 1
    assert {str(n) for n in range(40)} <= marks
    assert all(scene.width_mm <= 100 for scene in scenes)


def test_a_block_without_positions_is_refused():
    """There is nothing to draw."""
    with pytest.raises(ValueError, match="no position"):
        terminal_block("Bar", [])


def test_legend_cells_have_the_pitch_of_the_panel():
    """Cells are exactly as wide as the ways are apart, so that the strip fits when printed at full size."""
    scene = legend_strips([LegendCell(mark=str(n), text="Bilge pump", rating="10 A") for n in range(5)], pitch_mm=17.5)
    boxes = [i.path.bounds() for i in scene_leaves(scene.items) if isinstance(i, StrokePath) and i.path.closed]
    assert [box.width for box in boxes] == pytest.approx([17.5] * 5)
    assert [b.x0 - a.x0 for a, b in pairwise(boxes)] == pytest.approx([17.5] * 4)
    _clear(scene)


def test_long_names_on_a_legend_stay_in_their_cell():
    """Lettering shrinks, the same over all cells, and no word leaves its cell."""
    cells = [LegendCell(mark="1", text="Side, stern and masthead lights"), LegendCell(mark="2", text="Horn")]
    scene = legend_strips(cells, pitch_mm=18)
    _clear(scene)
    sizes = {text.height_mm for text in _texts(scene) if text.content not in ("1", "2")}
    assert len(sizes) == 1


def test_a_legend_wider_than_the_paper_goes_on_in_a_second_strip():
    """Twenty ways of 18 mm on 180 mm make two strips of ten."""
    scene = legend_strips([LegendCell(mark=str(n), text="x") for n in range(20)], room_mm=180)
    tops = {round(text.at[1], 3) for text in _texts(scene) if text.content.isdigit()}
    assert len(tops) == 2


def test_a_legend_that_can_not_fit_is_refused():
    """A cell wider than the room raises."""
    with pytest.raises(ValueError, match="do not fit"):
        legend_strips([LegendCell(mark="1", text="x")], pitch_mm=200, room_mm=180)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
def test_labels_are_printed_at_their_size_and_whole(size):
    """Each label has its size in mm, its number and detail stand inside it uncut, and all are there."""
    labels = [WireLabel(number=f"{n:03d}a+", to="Always-live fuse block 3", detail="RD 2.5 mm²") for n in range(60)]
    scenes = label_sheets([(size, labels)])
    words = [text.content for scene in scenes for text in _texts(scene)]
    assert all(label.number in words for label in labels)
    assert words.count("RD 2.5 mm²") == 60
    solid = [
        i.path.bounds() for s in scenes for i in scene_leaves(s.items)
        if isinstance(i, StrokePath) and i.path.closed and not i.pen.dash_mm
    ]  # fmt: skip
    assert len(solid) == 60
    assert all((box.width, box.height) == pytest.approx((size.width_mm, size.height_mm)) for box in solid)
    for scene in scenes:
        _clear(scene)


def test_labels_of_several_sizes_share_a_sheet():
    """A few labels of each size take one sheet together, each size under its name; nothing lies over anything."""
    kinds = [(size, [WireLabel(number=f"{n}{at}a+", to="Bilge", detail="RD 4 mm²") for at in range(3)])
             for n, size in enumerate(SIZES)]  # fmt: skip
    (scene,) = label_sheets(kinds)
    words = [text.content for text in _texts(scene)]
    assert all(words.count(size.name) == 1 for size in SIZES)
    assert sum(word.endswith("a+") for word in words) == 3 * len(SIZES)
    _clear(scene)
    boxes = [i.path.bounds() for i in scene_leaves(scene.items) if isinstance(i, StrokePath) and i.path.closed]
    cells = [box for box in boxes if box.height > 5]
    assert all(
        a.x1 <= b.x0 or b.x1 <= a.x0 or a.y1 <= b.y0 or b.y1 <= a.y0 for n, a in enumerate(cells) for b in cells[:n]
    )


def test_a_number_that_does_not_fit_its_label_is_refused():
    """A label too small for its number raises: a number that is cut off leads to the wrong wire."""
    label = WireLabel(number="L1234567aPE.3", to="x", detail="GNYE/BU 120 mm²")
    small = LabelSize(name="tiny", width_mm=12, height_mm=6)
    assert not label_fits(label, small)
    with pytest.raises(ValueError, match="wider one"):
        label_sheets([(small, [label])])


def test_a_label_larger_than_the_paper_is_refused():
    """So is a label that the paper does not hold."""
    with pytest.raises(ValueError, match="does not fit on A4"):
        label_sheets([(LabelSize(name="wall", width_mm=300, height_mm=20), [WireLabel(number="1", to="x")])])


def test_label_sheets_carry_a_bar_of_100_mm():
    """The print can be checked with a rule."""
    (scene,) = label_sheets([(SIZES[0], [WireLabel(number="1", to="x")])])
    lengths = [i.path.length() for i in scene_leaves(scene.items) if isinstance(i, StrokePath) and not i.path.closed]
    assert any(length == pytest.approx(100) for length in lengths)


def test_every_ink_has_letters_of_iec_60757():
    """A colour that can be printed as a patch can be said in letters as well (tan is ABYC's own and has none)."""
    assert [name for name in CONDUCTORS if letter_code(name) is None] == ["tan"]


def test_a_stripe_shows_on_its_base():
    """A striped conductor's patch has two colours; green-yellow is both."""
    assert inks("brown with yellow stripe") == (CONDUCTORS["brown"], CONDUCTORS["yellow"])
    assert inks("green-yellow") == (CONDUCTORS["green"], CONDUCTORS["yellow"])
    fills = [item.colour for item in swatch("green-yellow", Box(0, 0, 10, 2)) if isinstance(item, FillPath)]
    assert fills == [CONDUCTORS["green"], CONDUCTORS["yellow"]]


def test_a_colour_that_is_not_known_is_crossed_out():
    """A word with no ink gives no false colour."""
    assert inks("sunset") is None
    assert not [item for item in swatch("sunset", Box(0, 0, 10, 2)) if isinstance(item, FillPath)]
