"""The chart of the day: bars add up to the hours, and what is not known is not drawn as nothing."""

from __future__ import annotations

from itertools import combinations

import pytest

from layout.drawing.diagrams.energy_chart import PLOT, day_chart
from layout.drawing.elements.label_placing import box_holds, overlaps
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import FillPath, Text, scene_leaves
from layout.energy import energy_balance
from layout.geometry.path import Box
from layout.project.model.energy import ChargingSource, Running, Use
from tests.energy.make import SOLAR, boat, day
from tests.energy.test_balance import CASES

ALL = {
    "lamp": Use(between=("18:00-23:00",)),
    "pump": Use(hours=1.0),
    "radar": Use(between=("08:00-16:00",)),
    "laptop": Use(hours=4.0),
}
YIELDS = {"sun": SOLAR, "engine": ChargingSource(kind="alternator", supply="alternator", bank="house", current=30.0)}


@pytest.fixture
def sheet():
    """Return a day with four loads and two sources."""
    return energy_balance(boat(day(ALL, sources={"engine": Running(hours=1.0)}), charging=YIELDS)).situations[0]


def test_bars_add_up(sheet):
    """The area of the bars is the energy of the day in the chart's scale."""
    bank = sheet.banks[0]
    scene = day_chart(sheet, bank)
    bars = [item.path.bounds() for item in scene_leaves(scene.items) if isinstance(item, FillPath)]
    low = PLOT.y0 + 14.0
    inside = [box for box in bars if box.y0 >= low - 1e-6 and box.width > 5.0]
    texts = [item for item in scene_leaves(scene.items) if isinstance(item, Text)]
    top = max(float(text.content) for text in texts if text.at[0] < PLOT.x0 + 4 and text.content.isdigit())
    drawn = sum(box.height for box in inside) / PLOT.height * top
    assert drawn == pytest.approx(bank.drawn_wh, rel=1e-6)


def test_texts_are_legible(sheet):
    """No text leaves the page and no two overlap."""
    scene = day_chart(sheet, sheet.banks[0], {"house": "House bank with a rather long name", "up": "Converter"})
    boxes = [(t.content, text_box(t)) for t in scene_leaves(scene.items) if isinstance(t, Text)]
    page = Box(0.0, 0.0, scene.width_mm, scene.height_mm)
    assert [content for content, box in boxes if not box_holds(page, box)] == []
    assert [(a, b) for (a, x), (b, y) in combinations(boxes, 2) if overlaps(x, y, clear_mm=-0.3)] == []


def test_unknown_day_says_so():
    """With a load unknown the chart says that it shows only a part, and draws no charge."""
    sheet = energy_balance(CASES["load unknown"][1]).situations[0]
    shown = [t.content for t in scene_leaves(day_chart(sheet, sheet.banks[0]).items) if isinstance(t, Text)]
    assert any("at least" in content and "not known" in content for content in shown)
    assert not any("charge" in content for content in shown)
