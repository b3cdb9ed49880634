"""Boxes on sheets: apart, inside, the same each time, and on fewer sheets than rows take where that is found."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.placing.box_packing import packed

Size = tuple[float, float]


def laid(sizes: list[Size], room: Size, gap: float) -> list[tuple[int, float, float, float, float]]:
    """Return sheet and corners of each box."""
    found = []
    for (width, height), box in zip(sizes, packed(sizes, room, gap_mm=gap), strict=True):
        w, h = (height, width) if box.turned else (width, height)
        found.append((box.sheet, box.x_mm, box.y_mm, box.x_mm + w, box.y_mm + h))
    return found


@given(st.lists(st.tuples(st.floats(10, 100), st.floats(10, 80)), max_size=7))
def test_boxes_lie_in_the_room_and_apart(sizes: list[Size]) -> None:
    """Each box lies in the room of its sheet, and two of one sheet have the gap between them."""
    boxes = laid(sizes, (100.0, 80.0), 4.0)
    for _, x0, y0, x1, y1 in boxes:
        assert min(x0, y0) >= -1e-6
        assert x1 <= 100 + 1e-6
        assert y1 <= 80 + 1e-6
    for a, b in combinations(boxes, 2):
        apart = max(b[1] - a[3], a[1] - b[3], b[2] - a[4], a[2] - b[4])
        assert a[0] != b[0] or apart >= 4 - 1e-6


def test_a_ring_of_four_takes_one_sheet() -> None:
    """Four boxes round a fifth need turns: rows take two sheets, the search one; where it is too small, two."""
    ring = [(60.0, 40.0)] * 4 + [(18.0, 18.0)]
    assert {box.sheet for box in packed(ring, (101.0, 101.0), gap_mm=0.0)} == {0}
    assert {box.sheet for box in packed(ring, (99.0, 99.0), gap_mm=0.0)} == {0, 1}
    assert packed(ring, (101.0, 101.0), gap_mm=0.0) == packed(ring, (101.0, 101.0), gap_mm=0.0)


def test_a_box_larger_than_the_room_is_refused() -> None:
    """What fits no sheet is a mistake of the caller; what just fits is placed, and nothing takes no sheet."""
    with pytest.raises(ValueError, match="larger than the room"):
        packed([(100.1, 20.0)], (100.0, 80.0), gap_mm=4.0)
    assert packed([(100.0, 80.0)], (100.0, 80.0), gap_mm=4.0)[0].sheet == 0
    assert packed([], (100.0, 80.0), gap_mm=4.0) == ()
