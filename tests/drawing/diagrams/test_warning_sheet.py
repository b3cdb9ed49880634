"""Warning labels: every word stands on its label, whole and inside the frame."""

from __future__ import annotations

from itertools import pairwise

import pytest

from layout.drawing.diagrams.warning_sheet import TALL_MM, WIDE_MM, warning_sheets
from layout.drawing.elements.metrics import width_mm
from layout.drawing.elements.scene import Text, scene_leaves

LABELS = [
    ("ALWAYS LIVE", "Gas alarm: from House bank 24 V"),
    ("EMERGENCY PARALLEL SWITCH", "battery switch, 24 V"),
    ("ALWAYS LIVE", "Solar charge controller: from House bank 24 V, switched off at the battery's lead alone"),
    ("230 V AC", "230 V distribution: licensed person only, unplug the shore lead at the pontoon and at the inlet "
                 "first, stop the generator and lock it against starting by itself"),
]  # fmt: skip


@pytest.mark.parametrize("label", LABELS)
def test_no_word_is_cut_off(label: tuple[str, str]) -> None:
    """What is too long for the usual size is set smaller or on more lines; nothing ends in an ellipsis."""
    (scene,) = warning_sheets([label], paper="A4")
    texts = [item for item in scene_leaves(scene.items) if isinstance(item, Text)][1:]
    assert texts[0].content == label[0]
    assert " ".join(text.content for text in texts[1:]) == label[1]
    assert all(width_mm(text.content, text.height_mm, bold=text.bold) <= WIDE_MM - 5.9 for text in texts)
    rows = [text.at[1] for text in texts]
    assert rows == sorted(rows, reverse=True)
    for above, below in pairwise(texts):
        assert above.at[1] - below.at[1] >= below.height_mm
    assert max(rows) + texts[0].height_mm - min(rows) < TALL_MM
