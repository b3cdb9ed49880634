"""The shipped font cut down, so that a drawing carries the letters it needs and not six thousand.

Nearly every sheet does with the small font, which is shipped ready. ``python -m layout.drawing.fonts.cut`` makes it,
and the list of its letters' widths.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path

SMALL_FONTS = frozenset(map(chr, [*range(0x20, 0x7F), *range(0xA0, 0x180)])).union("ΩμΔφ–—‘’“”•…−≈≠≤≥√∅←↑→↓↔↕⌀☐☑✓")
"""Letters of the small font: Latin, and the signs that spile itself writes."""

ADVANCES = "advances-small.txt"
"""Units of the font size, then a line a letter of the small font: its code, its advance, its advance in bold."""

BLOCK = 0x80
"""A letter that the small font lacks brings the others of its block with it, so that sheets share one font."""


@cache
def font_bytes(*, bold: bool = False, small: bool = False) -> bytes:
    """Return a shipped TrueType file."""
    return files("layout.drawing.fonts").joinpath(_name(bold, small)).read_bytes()


@cache
def small_advances(*, bold: bool = False) -> dict[int, float]:
    """Return the advance width of each letter of the small font, as a share of the font size.

    They are kept beside it as text: to open a font for them takes a twentieth of a check.
    """
    per_em, *lines = files("layout.drawing.fonts").joinpath(ADVANCES).read_text(encoding="utf-8").splitlines()
    rows = [line.split() for line in lines]
    return {int(row[0], 16): int(row[2 if bold else 1]) / int(per_em) for row in rows}


@cache
def font_for(characters: frozenset[str], *, bold: bool = False) -> bytes:
    """Return a TrueType file that holds ``characters``; those that the shipped font lacks are left out."""
    more = characters.difference(SMALL_FONTS)
    if not more:
        return font_bytes(bold=bold, small=True)
    return _with_blocks(tuple(sorted({ord(letter) // BLOCK for letter in more})), bold)


@cache
def _with_blocks(blocks: tuple[int, ...], bold: bool) -> bytes:
    more = [chr(code) for block in blocks for code in range(block * BLOCK, (block + 1) * BLOCK)]
    return _cut_down(SMALL_FONTS.union(more), bold)


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
    return {_name(bold, True): _cut_down(SMALL_FONTS, bold) for bold in (False, True)}


def advances_text() -> str:
    """Return the file of advances of the small font, made anew."""
    from fontTools.ttLib import TTFont

    regular, bold = (TTFont(BytesIO(font_bytes(bold=strong)), lazy=True) for strong in (False, True))
    names = regular.getBestCmap(), bold.getBestCmap()
    widths = regular["hmtx"].metrics, bold["hmtx"].metrics
    lines = [str(regular["head"].unitsPerEm)]
    lines += [
        f"{code:04X} {widths[0][names[0][code]][0]} {widths[1][names[1][code]][0]}"
        for code in sorted(map(ord, SMALL_FONTS))
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    for name, content in small_fonts().items():
        (Path(__file__).parent / name).write_bytes(content)
    (Path(__file__).parent / ADVANCES).write_text(advances_text(), encoding="utf-8", newline="\n")
