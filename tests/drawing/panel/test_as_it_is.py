"""The sheet of a panel as it is now: its photograph in its place, what is there, nothing of what is only planned."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from layout import flow
from layout.drawing.elements.scene import Text, scene_leaves
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.handover.files.made_from import facts_digest
from layout.handover.files.panel_files import panel_facts, panel_scenes
from layout.project.reading.read import read
from layout.project.register import load, register_path
from tests.bench.test_server import WALL, put_wall
from tests.drawing.paper import POINT, overlapping, text_boxes
from tests.printed import pages

if TYPE_CHECKING:
    from pathlib import Path

    from layout.handover.plan import Plan

POINTS = "[{pixel: [100, 400], at: [0, 0]}, {pixel: [500, 400], at: [400, 0]}, {pixel: [100, 100], at: [0, 300]}]"


def planned(folder: Path, colour: str = "grey") -> Plan:
    """Return the plan of a wall with the clock aboard, on a picture where a pixel is a millimetre."""
    path = put_wall(folder)
    Image.new("RGB", (600, 500), colour).save(folder / "photo.png")
    text = WALL.replace("depth: 200}", f"depth: 200,\n    photograph: {{file: photo.png, points: {POINTS}}}}}")
    path.write_text(text.replace("turns: [0, 90]", "work_state: cut"), encoding="utf-8")
    project = read(path).project
    register, _ = load(register_path(path))
    assert project is not None
    assert register is not None
    return flow.plan(project, register.arrangement, register=register)


def test_the_photograph_lies_under_the_first_sheet(tmp_path: Path) -> None:
    """At the sheet's scale: 600 x 500 px are so many mm, 100 px left of the outline; the clock is named, no other."""
    plan = planned(tmp_path)
    panel = plan.project.panels["wall"]
    before = panel_scenes(plan, panel)
    first, *others = panel_scenes(flow.with_photographs(plan, tmp_path), panel)
    assert tuple(others) == before
    assert first.title.startswith("As it is now")
    words = " ".join(item.content for item in scene_leaves(first.items) if isinstance(item, Text))
    assert "cut nothing from it" in words
    assert "Clock" in words
    assert "Gauge" not in words
    (page,) = pages(pdf_bytes([first], DocumentInfo(title="Now")))
    ((x0, y0, x1, y1),) = page.images
    scale = {"1:1": 1.0, "1:2": 0.5, "1:5": 0.2}[first.title.rpartition(", ")[2]]
    assert (x1 - x0) * POINT == pytest.approx(600 * scale, abs=0.01)
    assert (y1 - y0) * POINT == pytest.approx(500 * scale, abs=0.01)
    assert first.underlay is not None
    assert first.underlay.room is not None
    rim = (first.underlay.room.width - 400 * scale) / 2
    assert x0 * POINT == pytest.approx(first.underlay.room.x0 + rim - 100 * scale, abs=0.01)
    assert overlapping(text_boxes(page)) == []


def test_another_picture_is_another_sheet_and_a_lost_one_is_told(tmp_path: Path) -> None:
    """What drawings are made from covers the picture; without its file there is a finding and no sheet."""
    grey = flow.with_photographs(planned(tmp_path), tmp_path)
    red = flow.with_photographs(planned(tmp_path, "red"), tmp_path)
    assert facts_digest(panel_facts(grey)) != facts_digest(panel_facts(red))
    assert facts_digest(panel_facts(grey)) == facts_digest(panel_facts(replace(grey)))
    (tmp_path / "photo.png").unlink()
    plan = planned(tmp_path)
    (tmp_path / "photo.png").unlink()
    lost = flow.with_photographs(plan, tmp_path)
    assert any("'photo.png' is not there" in finding.message for finding in lost.findings)
    assert panel_scenes(lost, lost.project.panels["wall"]) == panel_scenes(plan, plan.project.panels["wall"])
