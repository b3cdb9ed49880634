"""Widths of a table's columns from what stands in them: those with which all rows together take the fewest lines."""

from __future__ import annotations

from functools import lru_cache
from math import inf
from typing import TYPE_CHECKING

import numpy as np

from layout.drawing.elements.metrics import width_mm
from layout.languages import Said, in_language

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

_Cell = tuple[tuple[str, float, bool], ...]
"""The paragraphs of a cell: text, height of its capitals in mm, whether it is bold."""

FEW_WORDS = 10
"""Up to so many words every way to break a paragraph is tried; a longer one is broken as if its letters were sand."""
UGLY = 0.2
"""What a line more in a cell costs besides, as a share of a line more of its row."""
ROWS_A_PAGE = 20
"""The heading stands once more after about so many rows."""
TRIED = 16
"""Narrower widths of a column that are tried at each step."""
EASE_MM = 0.15
"""Room added to a text's own width, so that rounding breaks no line."""


def fitting_widths(
    rows: Sequence[Sequence[_Cell]], room_mm: float, *, pad_mm: float, fixed: Mapping[int, float] | None = None,
    spare_lines: Sequence[Sequence[int]] | None = None,
) -> list[float]:  # fmt: skip
    """Return the width of each column in mm; together they take ``room_mm``.

    A column begins as wide as its longest text. While all together are too wide, that column is made narrower which
    costs the fewest lines for a millimetre. What is left over goes to all in proportion.

    Parameters
    ----------
    rows
        The heading and all rows, each with a cell a column.
    pad_mm
        Room of a cell that is not for text, left and right together.
    fixed
        Columns whose width is given, in mm; one takes more where a word of its heading does.
    spare_lines
        By row and column: lines that cost nothing, because the cell reaches over rows below.
    """
    given = {at: max(wide, _Column([_paragraphs(rows[0][at])]).least_mm + pad_mm) for at, wide in (fixed or {}).items()}
    free = [at for at in range(len(rows[0])) if at not in given]
    room = room_mm - sum(given.values())
    columns = {at: _Column([_paragraphs(row[at]) for row in rows]) for at in free}
    spare = {
        at: np.array([0 if spare_lines is None else spare_lines[row][at] for row in range(len(rows))]) for at in free
    }
    steps = {at: columns[at].steps() for at in free}
    widths = {at: steps[at][0] for at in free}
    lines = {at: columns[at].lines(widths[at]) - spare[at] for at in free}
    inner = room - pad_mm * len(free)
    times = np.ones(len(rows), dtype=np.int64)
    times[0] += len(rows) // ROWS_A_PAGE
    while sum(widths.values()) > inner:
        over = sum(widths.values()) - inner
        best: tuple[float, float, int, float, NDArray[np.int64]] | None = None
        for at in free:
            others = np.max([lines[k] for k in free if k != at], axis=0, initial=0)
            now = int(np.maximum(others, lines[at]) @ times)
            for narrower in [one for one in steps[at] if one < widths[at] - 1e-9][:TRIED]:
                tried = columns[at].lines(narrower) - spare[at]
                saved = min(widths[at] - narrower, over)
                cost = int(np.maximum(others, tried) @ times) - now + UGLY * int((tried - lines[at]) @ times)
                cost /= saved
                if best is None or (cost, -saved) < best[:2]:
                    best = (cost, -saved, at, narrower, tried)
        if best is None:  # every column is at its longest word
            break
        _, _, at, widths[at], lines[at] = best
    total = sum(widths.values())
    shared = {at: widths[at] * (inner / total if total else 1.0) + pad_mm for at in free}
    return [given.get(at, shared.get(at, 0.0)) for at in range(len(rows[0]))]


def _paragraphs(cell: _Cell) -> list[tuple[float, ...]]:
    return [
        _breaks(line, height, bold) for words, height, bold in cell for line in in_language(words).split("\n") if line
    ]


class _Column:
    """The paragraphs of a column's cells; counts their lines, at each width once, as most are tried again."""

    def __init__(self, cells: Sequence[Sequence[tuple[float, ...]]]) -> None:
        self._cells = cells
        paragraphs = [words for cell in cells for words in cell if words]
        self._cell_of = np.array([at for at, cell in enumerate(cells) for words in cell if words], dtype=np.int64)
        self._words = np.array([len(words) for words in paragraphs], dtype=np.int64)
        self._needed = np.full((len(paragraphs), max(self._words, default=1)), -inf)
        for at, words in enumerate(paragraphs):
            self._needed[at, : len(words)] = words
        self._known: dict[float, NDArray[np.int64]] = {}

    @property
    def least_mm(self) -> float:
        """The width below which a word would be broken."""
        return max((words[-1] for cell in self._cells for words in cell), default=0.0) + EASE_MM

    def steps(self) -> list[float]:
        """Return the widths at which a line more is needed somewhere, widest first; none below its longest word."""
        kept = {round(width + EASE_MM, 2) for cell in self._cells for words in cell for width in words}
        least = round(self.least_mm + 0.005, 2)
        return sorted({max(width, least) for width in kept}, reverse=True) or [EASE_MM]

    def lines(self, width: float) -> NDArray[np.int64]:
        """Return how many lines each cell takes at a width."""
        if width not in self._known:
            wider = np.count_nonzero(self._needed > width, axis=1)  # a paragraph's widths never grow
            whole = np.ceil(self._needed[:, 0] / width).astype(np.int64)
            count = np.where(wider < self._words, wider + 1, np.maximum(self._words, whole))
            totals = np.bincount(self._cell_of, weights=count, minlength=len(self._cells))
            self._known[width] = totals.astype(np.int64)
        return self._known[width]


@lru_cache(maxsize=20_000)
def _breaks(text: str, height_mm: float, bold: bool) -> tuple[float, ...]:
    """Return the width that a paragraph, as it is said, needs to stand on one line, on two, and so on, in mm."""
    words = [width_mm(Said(word), height_mm, bold=bold) for word in text.split()]
    gap = width_mm(" ", height_mm, bold=bold)
    whole, longest = sum(words) + gap * (len(words) - 1), max(words, default=0.0)
    if len(words) > FEW_WORDS:
        return tuple(max(longest, whole / count * (1.0 if count == 1 else 1.12)) for count in range(1, len(words) + 1))
    least = [sum(words[:end]) + gap * (end - 1) for end in range(len(words) + 1)]
    spans = [[sum(words[cut:end]) + gap * (end - cut - 1) for cut in range(end)] for end in range(len(words) + 1)]
    found = [least[-1]]
    for _ in range(len(words) - 1):
        least = [
            min(map(max, least[1:end], spans[end][1:])) if end > 1 else least[end] for end in range(len(words) + 1)
        ]
        found.append(min(found[-1], least[-1]))
    return tuple(found)
