"""Pages of a PDF read back with PDFium: letters and strokes, in points from the lower left."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

import pypdfium2
from pypdfium2 import raw

if TYPE_CHECKING:
    from collections.abc import Iterator

Point = tuple[float, float]
HYPHEN = "\x02"
"""What PDFium says for a hyphen at the end of a line."""


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter: its box is as wide as its advance and as high as its size, from the font's lowest depth."""

    text: str
    x0: float
    y0: float
    x1: float
    y1: float
    size: float
    upright: bool


@dataclass(frozen=True, slots=True)
class Drawn:
    """One part of a path, arcs in 16 pieces; width and colour of its stroke, no colour where it is only filled."""

    points: tuple[Point, ...]
    width: float
    colour: tuple[float, ...] | None
    filled: bool

    @property
    def height(self) -> float:
        """How high it is, over all its points."""
        ys = [y for _, y in self.points]
        return max(ys) - min(ys)


@dataclass(frozen=True, slots=True)
class Word:
    """Letters side by side without a blank."""

    text: str
    x0: float
    y0: float
    x1: float
    y1: float


class Page:
    """One page; what stands on it is read when it is asked for, once."""

    def __init__(self, page: pypdfium2.PdfPage) -> None:
        self._page = page
        self.width, self.height = page.get_size()

    @cached_property
    def letters(self) -> tuple[Letter, ...]:
        """Every letter and blank that was written, in the order of writing."""
        return tuple(_letters(self._page))

    @cached_property
    def fonts(self) -> frozenset[str]:
        """The names of the fonts that letters are set in."""
        text, name, flags = self._page.get_textpage(), ctypes.create_string_buffer(128), ctypes.c_int()
        said = set()
        for index in range(text.count_chars()):
            if raw.FPDFText_GetFontInfo(text, index, name, 128, flags):
                said.add(name.value.decode())
        return frozenset(said)

    @cached_property
    def paths(self) -> tuple[Drawn, ...]:
        """Every path, one value for each of its parts."""
        return tuple(_paths(self._page))

    @cached_property
    def images(self) -> tuple[tuple[float, float, float, float], ...]:
        """The boxes of pictures: x0, y0, x1, y1."""
        return tuple(item.get_bounds() for item in self._page.get_objects(filter=(raw.FPDF_PAGEOBJ_IMAGE,)))

    @cached_property
    def lines(self) -> tuple[tuple[Word, ...], ...]:
        """Words of upright letters, line by line from the top, each line from the left."""
        upright = sorted((item for item in self.letters if item.upright), key=lambda item: -item.y0)
        rows: list[list[Letter]] = []
        for letter in upright:
            if rows and rows[-1][0].y0 - letter.y0 < 3:
                rows[-1].append(letter)
            else:
                rows.append([letter])
        return tuple(tuple(_words(sorted(row, key=lambda item: item.x0))) for row in rows)

    @property
    def words(self) -> tuple[Word, ...]:
        """The same words without their lines."""
        return tuple(word for line in self.lines for word in line)

    @cached_property
    def text(self) -> str:
        """The same words, a line of text for each line on paper."""
        return "\n".join(" ".join(word.text for word in line) for line in self.lines)


def pages(pdf: bytes | Path) -> tuple[Page, ...]:
    """Return the pages of a PDF; those of a file are read once."""
    if isinstance(pdf, Path):
        return _of_file(pdf, pdf.stat().st_mtime_ns)
    return _of_bytes(pdf)


@lru_cache(maxsize=8)
def _of_file(path: Path, changed: int) -> tuple[Page, ...]:
    del changed  # a part of the key alone
    return _of_bytes(path.read_bytes())


def _of_bytes(pdf: bytes) -> tuple[Page, ...]:
    return tuple(Page(page) for page in pypdfium2.PdfDocument(pdf))


def _words(row: list[Letter]) -> Iterator[Word]:
    held: list[Letter] = []
    for letter in row:
        blank = not letter.text.strip()
        if held and (blank or letter.x0 - held[-1].x1 > 0.2 * letter.size):
            yield _word(held)
            held = []
        if not blank:
            held.append(letter)
    if held:
        yield _word(held)


def _word(letters: list[Letter]) -> Word:
    return Word(
        "".join(letter.text for letter in letters),
        min(letter.x0 for letter in letters),
        min(letter.y0 for letter in letters),
        max(letter.x1 for letter in letters),
        max(letter.y1 for letter in letters),
    )


def _letters(page: pypdfium2.PdfPage) -> Iterator[Letter]:
    text = page.get_textpage()
    left, bottom, right, top = (ctypes.c_double() for _ in range(4))
    box, matrix = raw.FS_RECTF(), raw.FS_MATRIX()
    for index in range(text.count_chars()):
        if raw.FPDFText_IsGenerated(text, index) == 1:
            continue
        raw.FPDFText_GetMatrix(text, index, matrix)
        upright = abs(matrix.b) < 1e-6 and matrix.d > 0
        raw.FPDFText_GetLooseCharBox(text, index, box)
        raw.FPDFText_GetCharBox(text, index, left, right, bottom, top)
        size = raw.FPDFText_GetFontSize(text, index) * (matrix.c**2 + matrix.d**2) ** 0.5
        sides = (box.left, box.bottom, box.right, box.bottom + size) if upright else (
            left.value, bottom.value, right.value, top.value
        )  # fmt: skip
        letter = chr(raw.FPDFText_GetUnicode(text, index))
        yield Letter("-" if letter == HYPHEN else letter, *sides, size, upright)


def _paths(page: pypdfium2.PdfPage) -> Iterator[Drawn]:
    across, up, wide = ctypes.c_float(), ctypes.c_float(), ctypes.c_float()
    fill, stroke = ctypes.c_int(), ctypes.c_int()
    colour = [ctypes.c_uint() for _ in range(4)]
    for item in page.get_objects(filter=(raw.FPDF_PAGEOBJ_PATH,)):
        matrix = item.get_matrix()
        raw.FPDFPath_GetDrawMode(item, fill, stroke)
        raw.FPDFPageObj_GetStrokeWidth(item, wide)
        raw.FPDFPageObj_GetStrokeColor(item, *colour)
        shade = tuple(part.value / 255 for part in colour[:3]) if stroke.value else None
        width = wide.value * abs(matrix.a * matrix.d - matrix.b * matrix.c) ** 0.5
        verbs: list[tuple[int, Point, bool]] = []
        for index in range(raw.FPDFPath_CountSegments(item)):
            segment = raw.FPDFPath_GetPathSegment(item, index)
            raw.FPDFPathSegment_GetPoint(segment, across, up)
            verbs.append((
                raw.FPDFPathSegment_GetType(segment),
                matrix.on_point(across.value, up.value),
                bool(raw.FPDFPathSegment_GetClose(segment)),
            ))  # fmt: skip
        for points in _parts(verbs):
            yield Drawn(points, width, shade, bool(fill.value))


def _parts(verbs: list[tuple[int, Point, bool]]) -> Iterator[tuple[Point, ...]]:
    number = 0
    numbered = []
    for verb in verbs:
        number += verb[0] == raw.FPDF_SEGMENT_MOVETO
        numbered.append((number, verb))
    for _, group in groupby(numbered, key=lambda pair: pair[0]):
        points: list[Point] = []
        bend: list[Point] = []
        closed = False
        for _, (kind, at, closes) in group:
            closed |= closes
            if kind != raw.FPDF_SEGMENT_BEZIERTO:
                points.append(at)
                continue
            bend.append(at)
            if len(bend) == 3:
                points += _bent(points[-1], *bend)
                bend = []
        yield tuple(points) if not closed or points[0] == points[-1] else (*points, points[0])


def _bent(a: Point, b: Point, c: Point, d: Point) -> Iterator[Point]:
    for step in range(1, 17):
        t = step / 16
        x, y = (
            (1 - t) ** 3 * a[k] + 3 * t * (1 - t) ** 2 * b[k] + 3 * t * t * (1 - t) * c[k] + t**3 * d[k] for k in (0, 1)
        )
        yield x, y
