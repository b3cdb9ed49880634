"""Line kinds by plain name, after ISO 128.

Widths and line types follow ISO 128-2:2020 (widths 0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0 ...; wide
to narrow 2 : 1). Dash lengths are in multiples of the line width d: dash 12 d, long dash 24 d, gap
3 d, dot 0.5 d (ISO 128-2, from memory).
"""

from __future__ import annotations

from layout.drawing.elements import colours
from layout.light_dataclass import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """One line kind.

    Attributes
    ----------
    name
        Plain name; groups and tests refer to it.
    width_mm
        Line width on paper; never scaled with a drawing.
    dash_mm
        Lengths of drawn and skipped stretches in turn; empty is a continuous line.
    colour
        ``#rrggbb``.
    """

    name: str
    width_mm: float
    dash_mm: tuple[float, ...] = ()
    colour: str = colours.INK

    def __post_init__(self) -> None:
        if not self.width_mm > 0:
            raise ValueError(f"width_mm must be above 0, got {self.width_mm}")


def _dashed(width_mm: float) -> tuple[float, ...]:
    return (12 * width_mm, 3 * width_mm)


def _long_dash_dot(width_mm: float, *, dots: int = 1) -> tuple[float, ...]:
    dot = (0.5 * width_mm, 3 * width_mm)
    return (24 * width_mm, 3 * width_mm, *(dot * dots))


CUT = Pen(name="cut", width_mm=0.7, colour=colours.BLACK)
OUTLINE = Pen(name="outline", width_mm=0.25)
EDGE = Pen(name="edge", width_mm=0.7)
FACE_PEN = Pen(name="face", width_mm=0.25, colour=colours.GREY)
UNSURE = Pen(name="unsure", width_mm=0.35, dash_mm=(4.0, 2.0), colour=colours.ALARM)
REBATE = Pen(name="rebate", width_mm=0.35, dash_mm=(6.0, 1.5, 1.5, 1.5), colour=colours.LEAD)
BODY_PEN = Pen(name="body", width_mm=0.25, dash_mm=_dashed(0.25), colour=colours.BODY)
CENTRE = Pen(name="centre", width_mm=0.25, dash_mm=_long_dash_dot(0.25))
SECTION = Pen(name="section", width_mm=0.5, dash_mm=_long_dash_dot(0.5))
KEEP_OUT = Pen(name="keep_out", width_mm=0.25, dash_mm=_long_dash_dot(0.25, dots=2), colour=colours.ALARM)
ADJACENT = Pen(name="adjacent", width_mm=0.25, dash_mm=_long_dash_dot(0.25, dots=2), colour=colours.GREY)
DIMENSION = Pen(name="dimension", width_mm=0.25, colour=colours.LEAD)
HATCH = Pen(name="hatch", width_mm=0.13, colour=colours.GREY)
WARNING = Pen(name="warning", width_mm=0.25, colour=colours.ALARM)
FRAME = Pen(name="frame", width_mm=0.7)
RULE_PEN = Pen(name="rule", width_mm=0.25)
HAIR = Pen(name="hair", width_mm=0.13, colour=colours.GREY)
REGISTER = Pen(name="register", width_mm=0.25)
TRIM = Pen(name="trim", width_mm=0.18, dash_mm=(2.0, 1.5), colour=colours.GREY)
ENGRAVE = Pen(name="engrave", width_mm=0.18, colour=colours.LEAD)


def coloured(pen: Pen, colour: str, *, width_mm: float | None = None) -> Pen:
    """Return ``pen`` in another colour (a wire's, say) and, if given, another width in mm."""
    return Pen(name=pen.name, width_mm=width_mm or pen.width_mm, dash_mm=pen.dash_mm, colour=colour)
