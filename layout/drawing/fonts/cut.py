"""The shipped font cut down, so that a drawing carries the letters it needs and not six thousand.

Nearly every sheet does with the small font, which is shipped ready. ``python -m layout.drawing.fonts.cut`` makes it.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path

SMALL = frozenset(map(chr, [*range(0x20, 0x7F), *range(0xA0, 0x180)])).union("ΩμΔφ–—‘’“”•…−≈≠≤≥√∅←↑→↓↔↕⌀☐☑✓")
"""Letters of the small font: Latin, and the signs that spile itself writes."""

BLOCK = 0x80
"""A letter that the small font lacks brings the others of its block with it, so that sheets share one font."""


@cache
def font_bytes(*, bold: bool = False, small: bool = False) -> bytes:
    """Return a shipped TrueType file."""
    return files("layout.drawing.fonts").joinpath(_name(bold, small)).read_bytes()


@cache
def font_for(characters: frozenset[str], *, bold: bool = False) -> bytes:
    """Return a TrueType file that holds ``characters``; those that the shipped font lacks are left out."""
    more = characters.difference(SMALL)
    if not more:
        return font_bytes(bold=bold, small=True)
    return _with_blocks(tuple(sorted({ord(letter) // BLOCK for letter in more})), bold)


@cache
def _with_blocks(blocks: tuple[int, ...], bold: bool) -> bytes:
    more = [chr(code) for block in blocks for code in range(block * BLOCK, (block + 1) * BLOCK)]
    return _cut_down(SMALL.union(more), bold)


def _cut_down(characters: frozenset[str], bold: bool) -> bytes:
    from fontTools.subset import Options, Subsetter  # kept out of start-up
    from fontTools.ttLib import TTFont

    reader = TTFont(BytesIO(font_bytes(bold=bold)), lazy=True, recalcTimestamp=False)
    options = Options(
        layout_features=[], hinting=False, notdef_outline=True, name_IDs=[0, 1, 2, 13], drop_tables=["FFTM"]
    )
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=[ord(letter) for letter in sorted(characters)])
    subsetter.subset(reader)
    out = BytesIO()
    reader.save(out)
    return out.getvalue()


def _name(bold: bool, small: bool) -> str:
    return f"DejaVuSansCondensed{'-Bold' if bold else ''}{'-small' if small else ''}.ttf"


def small_fonts() -> dict[str, bytes]:
    """Return the small fonts, made anew, by file name."""
    return {_name(bold, True): _cut_down(SMALL, bold) for bold in (False, True)}


if __name__ == "__main__":
    for name, content in small_fonts().items():
        (Path(__file__).parent / name).write_bytes(content)
