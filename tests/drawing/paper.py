"""Strokes and texts of pages read back from PDF, all in mm from the lower left of the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.printed import Letter, Page

POINT = 25.4 / 72


@dataclass(frozen=True)
class Stroke:
    """One stroked path as points in mm, and its width."""

    points: tuple[tuple[float, float], ...]
    width_mm: float
    colour: tuple[float, ...]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """x0, y0, x1, y1."""
        xs, ys = [p[0] for p in self.points], [p[1] for p in self.points]
        return min(xs), min(ys), max(xs), max(ys)


def strokes(page: Page) -> list[Stroke]:
    """Return every stroked path of a page; Bezier pieces are flattened finely."""
    return [
        Stroke(tuple((x * POINT, y * POINT) for x, y in path.points), path.width * POINT, path.colour)
        for path in page.paths
        if path.colour is not None
    ]


def text_boxes(page: Page) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Return every run of level letters, and every turned letter, with its box (x0, y0, x1, y1) in mm."""
    runs: list[list[Letter]] = []
    for letter in page.letters:
        last = runs[-1][-1] if runs else None
        if last is not None and letter.upright and last.upright and follows(last, letter):
            runs[-1].append(letter)
        else:
            runs.append([letter])
    return [("".join(letter.text for letter in run), box_of(run)) for run in runs if any(x.text.strip() for x in run)]


def follows(last: Letter, letter: Letter) -> bool:
    """Tell whether a letter stands beside the one before it, on its line and of its size."""
    return abs(letter.y0 - last.y0) < 0.5 and abs(letter.x0 - last.x1) < 1.0 and abs(letter.size - last.size) < 1e-3


def box_of(run: list[Letter]) -> tuple[float, float, float, float]:
    """Return the box of letters in mm from the lower left."""
    return (
        min(letter.x0 for letter in run) * POINT,
        min(letter.y0 for letter in run) * POINT,
        max(letter.x1 for letter in run) * POINT,
        max(letter.y1 for letter in run) * POINT,
    )


def overlapping(boxes, *, share: float = 0.12):
    """Return pairs of texts whose boxes overlap by more than ``share`` of the smaller one's area."""
    found = []
    for (a, first), (b, second) in combinations(boxes, 2):
        wide = min(first[2], second[2]) - max(first[0], second[0])
        tall = min(first[3], second[3]) - max(first[1], second[1])
        if wide > 0.2 and tall > 0.2:
            area = min((q[2] - q[0]) * (q[3] - q[1]) for q in (first, second))
            if wide * tall > share * area:
                found.append((a, b, first, second))
    return found
