"""Arrangements side by side: read back from PDF, to one scale, every number and score on the sheet."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from layout.drawing.contact.contact_panels import numbers, panel_rows
from layout.drawing.contact.contact_scores import OTHERS, scale_of, scores
from layout.drawing.contact.contact_sheet import contact_sheet
from layout.drawing.elements import colours
from layout.drawing.elements.scene import FillPath, Group, scene_leaves
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.geometry.path import Box
from layout.handover.files.contact_file import contact_differences
from layout.handover.files.contact_file import contact_pages as written
from layout.placing.words import proof_words
from tests.drawing.paper import POINT, overlapping, text_boxes
from tests.printed import pages

INFO = DocumentInfo(title="Alternatives", revision="B")


def several(arrangement, count):
    """Return a number of arrangements with made-up scores; later ones are worse and have devices elsewhere."""
    made = []
    for k in range(count):
        placed = dict(arrangement.placed)
        if k:
            placed["tank"] = replace(placed["tank"], x=810.0, y=480.0 + 10 * (k % 2))
        costs = {"chart in the middle": 100.0 + 10 * k, "short cables": 900.0 + 5 * k, "round ones in line": 0.0}
        made.append(replace(arrangement, placed=placed, by_wish=costs, value=sum(costs.values()), proof="within",
                            bound=800.0, gap=0.2 + k / 100))  # fmt: skip
    return made


A4, A3 = (297, 210), (420, 297)


@pytest.mark.parametrize(
    ("count", "size", "sheets"), [(1, A4, 1), (2, A4, 1), (3, A3, 1), (6, A3, 1), (8, A3, 1), (9, A3, 2)]
)
def test_every_alternative_has_number_value_proof_and_scores(project, arrangement, count, size, sheets):
    """A4 takes two, A3 more; each has number, value, what is proven, a score by wish, and texts keep apart."""
    many = several(arrangement, count)
    table = contact_differences(project, many)
    read = pages(pdf_bytes(contact_sheet(project, many, differences=table, lines=("7 are known.",)), INFO))
    assert len(read) == sheets
    said = []
    for page in read:
        boxes = text_boxes(page)
        wide, tall = float(page.width) * POINT, float(page.height) * POINT
        assert (wide, tall) == pytest.approx(size, abs=0.1)
        assert [t for t, b in boxes if b[0] < 0 or b[1] < 0 or b[2] > wide or b[3] > tall] == []
        assert overlapping(boxes) == []
        said += [text for text, _ in boxes]
    whole = " ".join(said)
    for number, one in enumerate(many, start=1):
        assert f"{number}" in said
        assert f"value {one.value:.0f} weighted mm" in whole
        assert f"Proven: {proof_words(one)}" in whole
        assert all(f"{cost:.0f}" in whole for cost in one.by_wish.values())
    assert "7 are known." in whole
    assert "not for cutting" in whole


def fills(group, colour):
    """Return the boxes of everything filled with a colour."""
    return [i.path.bounds() for i in scene_leaves([group]) if isinstance(i, FillPath) and i.colour == colour]


def test_all_panels_and_bars_share_one_scale(project, arrangement):
    """A panel is as large in every alternative, and a wish's bar is as long as its cost against the worst of them."""
    many = several(arrangement, 4)
    scene = contact_sheet(project, many)[0]
    cells = [i for i in scene.items if isinstance(i, Group) and i.layer == "alternative"]
    assert len(cells) == 4
    outlines = []
    for cell, one in zip(cells, many, strict=True):
        panels = next(i for i in cell.items if isinstance(i, Group) and i.layer == "panels")
        box = Box.around([leaf.path.bounds() for leaf in scene_leaves([panels]) if hasattr(leaf, "path")])
        outlines.append((box.width, box.height))
        bars = next(i for i in cell.items if isinstance(i, Group) and i.name == "wishes")
        lengths = [i.path.bounds().width for i in scene_leaves([bars]) if isinstance(i, FillPath)]
        assert lengths[0] / lengths[1] == pytest.approx((one.by_wish["chart in the middle"] / 130)
                                                        / (one.by_wish["short cables"] / 915))  # fmt: skip
    assert all(size == pytest.approx(outlines[0]) for size in outlines)


def test_devices_that_stand_elsewhere_are_tinted(project, arrangement):
    """Only what moved by more than half its size since the first alternative has another colour."""
    first, second = several(arrangement, 2)
    scene = contact_sheet(project, [first, second])[0]
    cells = [i for i in scene.items if isinstance(i, Group) and i.layer == "alternative"]
    assert fills(cells[0], colours.MOVED_TINT) == []
    assert len(fills(cells[1], colours.MOVED_TINT)) == 1


def test_numbers_are_the_same_in_every_alternative_and_explained(project, arrangement):
    """A device too small for its name shows its number, and the foot names it."""
    scene = contact_sheet(project, several(arrangement, 8))[0]
    said = " ".join(text for text, _ in text_boxes(pages(pdf_bytes([scene], INFO))[0]))
    assert f"{numbers(project)['socket']} 12 V socket" in said


def test_many_wishes_are_summed_up_and_nothing_is_lost(arrangement):
    """Beyond fourteen wishes the last row holds the rest: the rows still add up to the value."""
    costs = {f"wish {n}": float(n) for n in range(30)}
    one = replace(arrangement, by_wish=costs, value=sum(costs.values()))
    shared = scale_of([one])
    assert shared.wishes[-1] == OTHERS
    assert sum(scores(one, shared.wishes)) == pytest.approx(one.value)


def test_panels_stand_side_by_side_or_below_each_other_inside_their_room(project, arrangement):
    """Both ways of showing panels stay inside their room at the scale they ask for, with a gap between two."""
    room = Box(10, 20, 130, 80)
    for row in panel_rows(project, [arrangement]):
        places = row.places(room, row.scale(room))
        assert all(room.grown(1e-6).x0 <= p.x0 and p.x1 <= room.grown(1e-6).x1 for p in places)
        assert all(room.grown(1e-6).y0 <= p.y0 and p.y1 <= room.grown(1e-6).y1 for p in places)


def test_one_that_is_not_usable_is_marked(project, arrangement):
    """An arrangement that breaks rules says so in the alarm colour."""
    scene = contact_sheet(project, [replace(arrangement, proof="not usable")])[0]
    marked = [i for i in scene_leaves(scene.items) if getattr(i, "content", "").startswith("Proven: not usable")]
    assert [text.colour for text in marked] == [colours.ALARM]


def test_none_at_all_is_refused(project):
    """There is no sheet of nothing."""
    with pytest.raises(ValueError, match="at least one"):
        contact_sheet(project, [])


def test_files_are_written_whole_and_the_same_twice(project, arrangement, tmp_path):
    """One PDF and an SVG a sheet, byte for byte the same when written again."""
    many = several(arrangement, 9)
    files = written(project, many, tmp_path, lines=["9 are known."])
    assert [file.name for file in files] == ["contact-sheet.pdf", "contact-sheet-1.svg", "contact-sheet-2.svg"]
    again = written(project, many, Path(tmp_path) / "again", lines=["9 are known."])
    assert [file.read_bytes() for file in files] == [file.read_bytes() for file in again]


def test_differences_are_even_handed(project, arrangement):
    """The table is the same from both sides, nothing from an arrangement to itself, and empty for one alone."""
    across = {key: replace(one, x=1000.0 - one.x) for key, one in arrangement.placed.items()}
    one, two = several(arrangement, 2)
    table = contact_differences(project, (one, replace(arrangement, placed=across), two))
    assert all(table[i][j] == table[j][i] for i in range(3) for j in range(3))
    assert [table[i][i] for i in range(3)] == [0.0, 0.0, 0.0]
    assert table[0][1] > 0
    assert contact_differences(project, several(arrangement, 1)) == ()
