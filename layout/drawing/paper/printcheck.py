"""A page to measure the printer with: bars both ways, printable margins, lettering and lines."""

from __future__ import annotations

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import ISO_3098_HEIGHTS_MM, fitted_text, wrapped
from layout.drawing.elements.scene import Group, Item, Scene, Text, line, rect
from layout.drawing.paper.drawing_sheets import sheet
from layout.drawing.template.print_marks import bars

MARGINS_MM = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
SAMPLE = "AaBbÅåßŁł ΑαΩω АаЯя 0123456789 ⌀ ² Ω µ ± ° × − ½ → ↑"

_INSTRUCTIONS = (
    "Print this page at 100 %, without fitting to the page, on the paper the template will be printed on.",
    "Measure the 100 mm bars with a steel rule, one across and one up the page, to a tenth of a millimetre.",
    "If both measure 100.0 mm, nothing has to be done. Else give what they measured when making the template,"
    " across first: --bars 99.4x99.7",
    "The smallest frame that printed on all four sides is the printable margin: write it as printer_margin.",
    "Paper swells: measure again on the day, and measure the bars of every sheet.",
)


def printcheck_scene(paper: str = "A4") -> Scene:
    """Return the test page on upright paper, at true nominal size.

    Raises
    ------
    ValueError
        No paper has that name.
    """
    of = sheet(paper)
    items: list[Item] = [rect(of.box.grown(-margin), pens.HAIR) for margin in MARGINS_MM]
    left = 20.0
    y = of.height_mm - 26.0
    items.append(Text((left, y), f"Print check, {paper}", 7.0, bold=True))
    y -= 8.0
    for number, words in enumerate(_INSTRUCTIONS, start=1):
        items.append(Text((left, y - 3.5), f"{number}", 3.5, bold=True))
        for row in wrapped(words, 3.5, of.width_mm - 2 * left - 8.0):
            y -= 3.5 * 1.7
            items.append(Text((left + 8.0, y + 2.45), row, 3.5))
        y -= 1.5
    y -= 12.0
    items += [bars((left, y), upright=False), bars((left + 8.0, y - 125.0), upright=True)]
    items += _samples(left + 30.0, y - 12.0, of.width_mm - left)
    names = ", ".join(f"{margin:g}" for margin in MARGINS_MM)
    items.append(Text((left, 14.0), f"Frames stand {names} mm from the edge of the paper.", 2.5))
    return Scene(
        width_mm=of.width_mm,
        height_mm=of.height_mm,
        items=tuple(items),
        title=f"Print check {paper}",
        section="Print check",
    )


def _samples(left: float, top: float, right: float) -> list[Item]:
    """Return every lettering height of ISO 3098 up to 7 mm, and every line kind."""
    items: list[Item] = []
    y = top
    for height in ISO_3098_HEIGHTS_MM[:4]:
        y -= height * 1.7
        items += [
            Text((left, y), f"{height:g}", 2.5, colour=colours.GREY),
            Text((left + 10.0, y), fitted_text(SAMPLE, height, right - left - 10.0), height),
        ]
    y -= 6.0
    for pen in (
        pens.CUT,
        pens.OUTLINE,
        pens.BODY_PEN,
        pens.CENTRE,
        pens.SECTION,
        pens.KEEP_OUT,
        pens.DIMENSION,
        pens.TRIM,
    ):
        y -= 5.0
        items += [
            line((left, y), (left + 80.0, y), pen),
            Text((left + 84.0, y), pen.name.replace("_", "-"), 2.5, level="middle"),
        ]
    return [Group(tuple(items), name="samples", layer="samples")]
