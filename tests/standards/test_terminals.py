"""Lugs, ferrules and sleeves: common practice, no single source; shapes as DIN 46228-4, DIN 46235, IEC 61210."""

from __future__ import annotations

import pytest

from layout.standards.terminals import ferrule, heat_shrink_mm, push_on, ring, stud_hole_mm

AREAS = [0.75, 1.0, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150]


def test_ring_takes_the_conductor():
    """A ring's band holds the area it was asked for."""
    for area in AREAS:
        found = ring(area, "M10" if area > 1.5 else "M8")
        assert found is not None
        assert found.area_min_mm2 <= area <= found.area_max_mm2
        assert found.hole_mm >= stud_hole_mm("M8")


def test_border_areas_take_the_smaller_sleeve():
    """1.5 mm2 is red and 2.5 mm2 blue."""
    assert ring(1.5, "M5").text.startswith("ring red")
    assert ring(2.5, "M5").text.startswith("ring blue")
    assert ring(4.0, "M5").text.startswith("ring yellow")


def test_no_such_ring():
    """A thick cable on a thin stud has no lug, and an unknown stud is refused with the known ones."""
    assert ring(70, "M5") is None
    assert ring(185, "M10") is None
    with pytest.raises(KeyError, match="M10"):
        ring(2.5, "M7")


def test_ferrule_is_the_next_not_below():
    """Gauge 14 (2.08 mm2) takes a 2.5 mm2 ferrule; above 50 mm2 there is none."""
    assert ferrule(2.08).text.startswith("ferrule 2.5 mm²")
    assert ferrule(2.5).text.startswith("ferrule 2.5 mm²")
    assert ferrule(70) is None


def test_push_on_range():
    """IEC 61210: 6.3 mm receptacles take to 6 mm2."""
    assert push_on(2.5).text == "push-on 6.3 x 0.8"
    assert push_on(10) is None


def test_heat_shrink_grips():
    """The sleeve goes over the cable and shrinks below it."""
    for od in (2.8, 3.4, 4.1, 6.8, 11.7, 20.2):
        bore = heat_shrink_mm(od)
        assert bore / 3 < od <= bore / 1.25
    assert heat_shrink_mm(60) is None
