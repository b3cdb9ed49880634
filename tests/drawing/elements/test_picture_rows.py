"""Pictures in rows."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.elements.picture_rows import ROW_GAP_MM, on_sheets, rows_of
from layout.drawing.elements.scene import Group, Scene


@given(st.lists(st.tuples(st.floats(10, 300), st.floats(10, 90)), max_size=12), st.floats(50, 280))
def test_rows_keep_every_picture_in_order_and_inside_their_width(sizes, width):
    """No picture is lost or overlaps the next; a row is wider than allowed only where one picture alone is."""
    scenes = [Scene(width_mm=w, height_mm=h, items=(), title=f"{k}") for k, (w, h) in enumerate(sizes)]
    rows = rows_of(scenes, width)
    assert ", ".join(row.title for row in rows) == ", ".join(scene.title for scene in scenes)
    for row in rows:
        joined = [item for item in row.items if isinstance(item, Group)]
        assert not joined or row.width_mm <= width + 1e-6
        members = [scenes[int(name)] for name in row.title.split(", ")]
        ends = [group.dx_mm + member.width_mm + ROW_GAP_MM for group, member in zip(joined, members, strict=False)]
        assert all(group.dx_mm >= end - 1e-6 for group, end in zip(joined[1:], ends, strict=False))
        assert row.height_mm == max(member.height_mm for member in members)


@given(st.lists(st.tuples(st.floats(10, 120), st.floats(10, 90)), max_size=14))
def test_sheets_keep_every_picture_inside_their_room(sizes):
    """No picture is lost, and no sheet is larger than the room of 130 x 100 mm that takes each picture."""
    scenes = [Scene(width_mm=w, height_mm=h, items=(), title=f"{k}") for k, (w, h) in enumerate(sizes)]
    sheets = on_sheets(scenes, 130, 100)
    assert sorted(int(one) for sheet in sheets for one in sheet.title.split(", ")) == list(range(len(scenes)))
    assert all(sheet.width_mm <= 130 + 1e-6 and sheet.height_mm <= 100 + 1e-6 for sheet in sheets)
