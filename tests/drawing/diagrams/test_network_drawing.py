"""The drawings of an instrument bus: true in order, whole, legible, with the faults where they are."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from layout.drawing.diagrams.network_drawing import bus_drawing
from layout.drawing.diagrams.network_map import bus_map
from layout.drawing.diagrams.network_rows import stretches
from layout.drawing.elements.label_placing import box_holds, overlaps
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import Text, scene_leaves
from layout.drawing.writers.svg import svg_text
from layout.geometry.path import Box
from layout.network.networks import plan_networks
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.reading.read import read
from tests.conftest import ROOT

EXAMPLES = ROOT / "examples" / "launch"


@pytest.fixture(scope="module", params=["launch.yaml", "wrong_network.yaml"])
def planned(request):
    """Return a launch example with its planned bus."""
    project = read(EXAMPLES / request.param).project
    placed = {
        id_: Placed(device=id_, panel=device.panel[0], x=300.0, y=200.0)
        for id_, device in project.devices.items()
        if device.panel
    }
    return project, plan_networks(project, Arrangement(placed=placed)).buses[0]


def texts(scene):
    """Return every text of a scene in its place on the page."""
    return [item for item in scene_leaves(scene.items) if isinstance(item, Text)]


@pytest.fixture
def scenes(planned):
    """Return both drawings."""
    project, bus = planned
    return bus_drawing(bus), bus_map(project, bus)


def test_no_text_leaves_its_page(scenes):
    """Every text lies wholly on its page."""
    for scene in scenes:
        page = Box(0.0, 0.0, scene.width_mm, scene.height_mm)
        assert [text.content for text in texts(scene) if not box_holds(page, text_box(text))] == []


def test_no_two_texts_overlap(scenes):
    """No two texts share any area."""
    for scene in scenes:
        boxes = [(text.content, text_box(text)) for text in texts(scene)]
        clash = [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if overlaps(one, other, clear_mm=-0.3)]
        assert clash == []


def test_parts_stand_in_their_order(planned):
    """Along each row the parts stand from left to right in the order in which they are plugged together."""
    _, bus = planned
    scene = bus_drawing(bus)
    keys = {part.key for part in bus.assembly.parts}
    at = {text.content: text.at for text in texts(scene) if text.content in keys}
    assert set(at) == keys
    for stretch in stretches(bus.assembly):
        row = [at[part.key] for part in stretch.parts]
        for one, other in pairwise(row):
            assert other[0] > one[0] or other[1] < one[1] - 20


def test_every_piece_is_drawn_once(planned):
    """Every part is in one row and every piece is drawn once."""
    _, bus = planned
    rows = stretches(bus.assembly)
    parts = [part.key for row in rows for part in row.parts]
    pieces = [piece.key for row in rows for piece in (*row.pieces, *row.closes) if piece is not None]
    assert sorted(parts) == sorted(part.key for part in bus.assembly.parts)
    assert sorted(pieces) == sorted(piece.key for piece in bus.assembly.pieces)


def test_lengths_and_voltages_are_shown(planned):
    """Each cable's length, each drop's length and each voltage stand on the drawing."""
    _, bus = planned
    shown = [text.content for text in texts(bus_drawing(bus))]
    for piece in bus.assembly.pieces:
        if piece.cable:
            assert f"{piece.key}  {piece.length_mm / 1000:.2f} m" in shown
    for row in bus.voltages:
        assert f"{row.voltage_v:.2f} V" in shown


def test_findings_are_numbered(planned):
    """Every finding is listed, and one about a device or part carries its number there."""
    _, bus = planned
    shown = [text.content for text in texts(bus_drawing(bus))]
    for number, finding in enumerate(bus.findings, start=1):
        exact = any(re.match(r"devices\.|networks\.\w+\.", subject) for subject in finding.subjects)
        assert shown.count(str(number)) == (2 if exact else 1)
        assert any(finding.rule in content for content in shown)


def test_map_names_every_place_and_device(planned):
    """The map names each place that data wireways join, and each device with its tee."""
    project, bus = planned
    shown = " ".join(text.content for text in texts(bus_map(project, bus)))
    for wireway in project.wireways.values():
        if "data" in wireway.carries:
            assert project.locations[wireway.from_].name in shown
    for drop in bus.assembly.drops:
        assert f"{bus.assembly.devices[drop.node].name} ({drop.part}," in shown


def test_places_without_positions_are_still_drawn(planned):
    """A project that gives no positions gets a map in columns, with the same names."""
    project, bus = planned
    bare = replace(project, locations={id_: replace(place, at=None) for id_, place in project.locations.items()})
    words = [sorted(text.content for text in texts(bus_map(p, bus))) for p in (bare, project)]
    assert words[0] == words[1]


def test_same_bus_same_bytes(planned):
    """Drawing twice gives the same bytes."""
    project, bus = planned
    assert svg_text(bus_drawing(bus)) == svg_text(bus_drawing(bus))
    assert svg_text(bus_map(project, bus)) == svg_text(bus_map(project, bus))
