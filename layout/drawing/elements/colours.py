"""Every colour that spile prints, in one table; each reads in grey as well.

Inks stand on white or on a tint with a contrast of at least 4.5 : 1 (WCAG 2.1, 1.4.3); what is told by colour is told
by a word, a letter, a hatching or a line kind too.
"""

from __future__ import annotations

INK = "#1d2a28"
"""Text and most lines."""

BLACK = "#000000"
"""The cut line, and nothing else."""

WHITE = "#ffffff"
LEAD = "#17566a"
"""What leads the eye: dimensions, headings of groups, the instrument network."""

BODY = "#4d514b"
"""What stands behind: bodies, second lines of a cell."""

GREY = "#6a6d66"
"""What stands back: hints, hair lines, units."""

ALARM = "#a12d12"
"""Danger, what is not known, keep-outs."""

AMBER = "#a65d0e"
"""What wants a second look."""

RULE = "#c8cac1"
"""Thin rules between rows, wireways on a map."""

TINT = "#f6f7f2"
"""Fills that only set off."""

HEAD_TINT = "#eeefe8"
FAULT_TINT = "#f9ece7"
"""A row that an error concerns; its code stands in it."""

MOVED_TINT = "#d3e3e4"
ALARM_PALE = "#dba898"
"""Hatching of zones that nothing may enter."""

CABLE_TINTS = {"dc": "#f1d8c9", "ac": "#c9dfe4", "data": "#e2e5c4", "antenna": "#e3dbd0"}
"""Cables in a section by class; a letter or number stands in each."""

SYSTEM_TINTS = (LEAD, "#8fb3b5", "#c9c3a5", "#5d6f4e", "#b0b79a", "#9a7b5f")
"""Fills of the systems of a day, from the axis up."""

WISHES = (
    "#255f6e", "#8fb8ba", "#4a6d35", "#acbf8d", "#a96a12", "#dfbd78", "#6d4a72", "#bda6bd", "#8c3f2a", "#d2a08f",
    "#5a615c", "#b1b5ad", "#1f7468", "#93c4b5", "#85683c",
)  # fmt: skip
"""One for each wish, told apart by lightness as well."""

CONDUCTORS = {
    "black": "#1c1c1a",
    "blue": "#2a58bd",
    "brown": "#78491f",
    "dark blue": "#1b3580",
    "dark grey": "#50524e",
    "gold": "#c6a02b",
    "gray": "#8d9089",
    "green": "#24843c",
    "grey": "#8d9089",
    "light blue": "#85b6e0",
    "orange": "#e87a1e",
    "pink": "#ee9bb2",
    "purple": "#6b4199",
    "red": "#cc2a1f",
    "silver": "#c5c7c2",
    "tan": "#ccad7d",
    "turquoise": "#30aca5",
    "violet": "#6b4199",
    "white": WHITE,
    "yellow": "#f2cf24",
}
"""Print colours of conductors by the words of the standards; the word and its IEC 60757 letters stand beside them."""


def contrast(first: str, second: str) -> float:
    """Return the contrast of two colours, 1 to 21 (WCAG 2.1, relative luminance).

    >>> round(contrast("#000000", "#ffffff"), 1)
    21.0
    """
    light, dark = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
