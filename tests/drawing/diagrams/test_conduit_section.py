"""The section of a wireway is in true proportion and hides nothing."""

from __future__ import annotations

import pytest

from layout.drawing.diagrams.conduit_section import CableCircle, conduit_section
from layout.drawing.elements.scene import FillPath, StrokePath, Text, scene_leaves
from layout.geometry.shapes import as_circle


def _circles(scene):
    return [as_circle(item.path)[1] for item in scene_leaves(scene.items) if isinstance(item, FillPath)]


def _texts(scene):
    return [item.content for item in scene_leaves(scene.items) if isinstance(item, Text)]


def test_bore_and_cables_have_one_scale():
    """Every circle is its outer diameter times the scale that is printed, and so is the bore."""
    scene = conduit_section([CableCircle(mark="1", od_mm=8.0), CableCircle(mark="2", od_mm=4.0)], bore_mm=20)
    wall = max(as_circle(i.path)[1] for i in scene_leaves(scene.items) if isinstance(i, StrokePath))
    scale = wall / 20
    assert sorted(_circles(scene)) == pytest.approx([4.0 * scale, 8.0 * scale])
    assert f"bore 20 mm, drawn {scale:g} : 1" in _texts(scene)


def test_a_cable_without_diameter_is_said_not_to_be_shown():
    """A cable of unknown diameter is not drawn as nothing: the note names it."""
    scene = conduit_section([CableCircle(mark="1", od_mm=8.0), CableCircle(mark="2", od_mm=None)], bore_mm=20)
    assert len(_circles(scene)) == 1
    assert any("NOT SHOWN" in text and "2" in text for text in _texts(scene))


def test_a_cable_without_room_is_named():
    """Cables that find no place are named in the note."""
    scene = conduit_section([CableCircle(mark=f"c{n}", od_mm=8.0) for n in range(9)], bore_mm=20)
    assert any("NO PLACE FOUND" in text and "c8" in text for text in _texts(scene))


def test_compartments_keep_classes_apart():
    """In a trunk with compartments no DC cable lies on the AC side of the wall."""
    cables = [CableCircle(mark=str(n), od_mm=4.0, kind="ac" if n % 2 else "dc") for n in range(8)]
    scene = conduit_section(cables, inner_mm=(60, 40), compartments=True)
    fills = [
        (item.colour, as_circle(item.path)[0][0]) for item in scene_leaves(scene.items) if isinstance(item, FillPath)
    ]
    by_colour = {colour: [x for c, x in fills if c == colour] for colour, _ in fills}
    left, right = sorted(by_colour.values(), key=min)
    assert max(left) < min(right)


def test_a_tray_is_shown_as_a_bundle():
    """With neither bore nor inner size the note says that nothing fills up."""
    assert any("nothing here fills up" in text for text in _texts(conduit_section([CableCircle(mark="1", od_mm=5.0)])))


def test_an_empty_wireway_is_drawn():
    """A wireway without cables gives its wall alone."""
    assert _circles(conduit_section([], bore_mm=25)) == []


def test_bore_and_inner_together_are_refused():
    """A wireway has one or the other."""
    with pytest.raises(ValueError, match="not both"):
        conduit_section([], bore_mm=20, inner_mm=(20, 20))
