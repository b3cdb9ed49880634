"""The wiring view: all landings are printed, whatever room they have; loom, ties and entry are drawn."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.drawing.elements.scene import Group, Text, scene_leaves
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.panel.wiring_view import Landing, Landings, divisor_of, wiring_view
from layout.project.model.panel import CableExit
from layout.project.model.shape import Shape

ROOM_MM = (376.0, 214.0)


def words(scenes):
    """Return every text of some pictures."""
    return [item.content for scene in scenes for item in scene_leaves(scene.items) if isinstance(item, Text)]


@pytest.mark.parametrize(("wires", "pictures"), [(2, 1), (400, 2)])
def test_no_landing_is_lost(project, arrangement, wires, pictures):
    """Few landings stand beside the view; what finds no room there goes on, and every wire is printed once."""
    shapes = panel_shapes(project, arrangement, "console").mirrored()
    numbers = [f"{number:03d}a+" for number in range(wires)]
    landings = {
        "dp24": Landings(rows=tuple(Landing(terminal=str(at), wires=(number,)) for at, number in enumerate(numbers)))
    }
    scenes = wiring_view(shapes, landings, room_mm=ROOM_MM)
    assert len(scenes) == pictures
    assert sorted(one for one in " ".join(words(scenes)).split() if one.endswith("a+")) == numbers
    for scene in scenes:
        for item in scene_leaves(scene.items):
            if isinstance(item, Text):
                assert 0 <= item.at[0] <= ROOM_MM[0]
                assert 0 <= item.at[1] <= ROOM_MM[1]


def test_loom_ties_and_entry(project, arrangement):
    """A straight loom of 600 mm takes three ties (300 mm apart at most), one of 601 mm four; the entry is named.

    Spacing of sheathed conductors: ISO 10133:2012 7.3, 7.4.
    """
    for length, ties in ((600, 3), (601, 4)):
        console = replace(
            project.panels["console"], loom=(((50, 300), (50 + length, 300)),),
            cable_exit=CableExit(at=(50, 300), location="locker"),
        )  # fmt: skip
        changed = replace(project, panels={**project.panels, "console": console})
        scenes = wiring_view(
            panel_shapes(changed, arrangement, "console").mirrored(),
            {"radio": Landings(rows=(Landing(terminal="+", wires=("001a+",)),), ac=True)},
            room_mm=ROOM_MM, entry="Locker", hinge_loop_mm=250,
        )  # fmt: skip
        loom = next(item for item in scenes[0].items if isinstance(item, Group) and item.name == "loom")
        assert len(loom.items) == 1 + ties
        said = " ".join(words(scenes))
        assert "entry, from Locker; free loop of 250 mm at the hinge" in said
        assert "Radio with handset, AC" in said


def test_the_scale_is_the_largest_that_takes_the_panel(project, arrangement):
    """A panel of 1,000 mm has 1:5 of the ISO 5455 scales beside its columns on A3, one of 400 mm has 1:2."""
    for width, divisor in ((1000, 5), (400, 2)):
        console = replace(project.panels["console"], outline=Shape(rect=(width, 300), at=(width / 2, 150)))
        shapes = panel_shapes(replace(project, panels={**project.panels, "console": console}), arrangement, "console")
        assert divisor_of(shapes, ROOM_MM) == divisor
