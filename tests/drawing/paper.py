"""Read pages back with pdfplumber: strokes and texts, all in mm from the lower left of the sheet."""

from __future__ import annotations

import io
from dataclasses import dataclass
from itertools import combinations

import pdfplumber

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


def pages(pdf: bytes) -> list[pdfplumber.page.Page]:
    """Return the pages of a PDF."""
    return pdfplumber.open(io.BytesIO(pdf)).pages


def strokes(page: pdfplumber.page.Page) -> list[Stroke]:
    """Return every stroked path of a page; Bezier pieces are flattened finely."""
    found = []
    tall = float(page.height)
    for item in (*page.lines, *page.rects, *page.curves):
        if not item["stroke"]:
            continue
        points: list[tuple[float, float]] = []
        for verb, *args in item["path"]:
            at = [(x * POINT, (tall - y) * POINT) for x, y in args]
            if verb == "c":
                a, (b, c, d) = points[-1], at
                for step in range(1, 17):
                    t = step / 16
                    points.append(tuple(
                        (1 - t) ** 3 * a[k] + 3 * t * (1 - t) ** 2 * b[k] + 3 * t * t * (1 - t) * c[k] + t**3 * d[k]
                        for k in (0, 1)
                    ))  # fmt: skip
            elif verb == "h":
                points.append(points[0])
            else:
                points += at
        colour = item["stroking_color"]
        found.append(Stroke(tuple(points), float(item["linewidth"]) * POINT, tuple(colour or ())))
    return found


def text_boxes(page: pdfplumber.page.Page) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Return every run of text, level or turned, with its box (x0, y0, x1, y1) in mm."""
    tall = float(page.height)
    level = page.filter(lambda o: o["object_type"] != "char" or o["upright"])
    turned = page.filter(lambda o: o["object_type"] != "char" or not o["upright"])
    words = level.extract_words(keep_blank_chars=True, x_tolerance=1.0, y_tolerance=0.5, use_text_flow=True,
                                extra_attrs=["size", "fontname"])  # fmt: skip
    found = [(word["text"], box_of(word, tall)) for word in words]
    return found + [(char["text"], box_of(char, tall)) for char in turned.chars if char["text"].strip()]


def box_of(item, tall: float) -> tuple[float, float, float, float]:
    """Return an item's box in mm from the lower left, without the font's own head and foot room."""
    x0, x1 = item["x0"] * POINT, item["x1"] * POINT
    y0, y1 = (tall - item["bottom"]) * POINT, (tall - item["top"]) * POINT
    return x0, y0, x1, y1


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
