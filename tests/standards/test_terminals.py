"""Lugs, ferrules and sleeves: common practice, no single source; shapes as DIN 46228-4, DIN 46235, IEC 61210."""

from __future__ import annotations

import pytest

from layout.standards.terminals import (
    MOST_ON_A_STUD,
    TUBE_FROM_MM2,
    ferrule,
    heat_shrink_mm,
    push_on,
    ring,
    stud_hole_mm,
)

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


@pytest.mark.parametrize(
    ("area", "stud", "text"),
    [
        (0.5, "M5", "ring red M5"),
        (0.4995, "M5", None),
        (1.0, "M12", None),  # no red ring has so wide a hole
        (6.0, "M12", "ring yellow M12"),
        (6.006, "M12", "tube lug 10 mm² M12"),
        (16.0, "1/2", "tube lug 16 mm² 1/2"),
        (10.0, "1/2", None),  # 10 mm2 on a half-inch stud is not made, and a 16 mm2 tube is too wide for it
        (10.01, "1/2", "tube lug 16 mm² 1/2"),
        (16.1, "1/2", "tube lug 25 mm² 1/2"),
    ],
)
def test_lug_at_the_ends_of_its_band(area, stud, text):
    """The sleeve of a ring holds its band, both ends in it; a tube takes what is over the tube below it."""
    found = ring(area, stud)
    assert (found.text if found else None) == text


@pytest.mark.parametrize(("area", "fits"), [(0.4995, False), (0.5, True), (6.0, True), (6.006, False)])
def test_ends_of_the_push_on_range(area, fits):
    """IEC 61210: 0.5 to 6 mm2."""
    assert (push_on(area) is not None) is fits


@pytest.mark.parametrize(("od", "bore"), [(0.9, None), (1.0, None), (1.01, 3.0), (2.4, 3.0), (2.41, 6.0)])
def test_sleeve_at_its_limits(od, bore):
    """A sleeve shrinks to a third, below the cable, and goes over it with a quarter to spare: 3 mm over 2.4 mm."""
    assert heat_shrink_mm(od) == bore


def test_bounds_for_studs_and_tubes():
    """Four lugs on a stud (ABYC E-11, from memory); tube lugs, the smallest of 6 mm2, begin over 2.5 mm2."""
    assert (MOST_ON_A_STUD, TUBE_FROM_MM2) == (4, 2.5)


def test_ferrule_bands_meet():
    """The thinnest takes all up to 0.5 mm2, the next what is over it."""
    assert (ferrule(0.3).area_min_mm2, ferrule(0.3).area_max_mm2) == (0.0, 0.5)
    assert (ferrule(0.51).area_min_mm2, ferrule(0.51).area_max_mm2) == (0.5, 0.75)
