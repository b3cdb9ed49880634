"""The workbook's theme: spile's own colours and face instead of an office program's (ECMA-376 part 1, 20.1.6.9)."""

from __future__ import annotations

from layout.drawing.elements import colours

TYPEFACE = "Verdana"
"""A face that office programs on every system have; the shipped one they have not."""

_ACCENTS = (colours.LEAD, colours.AMBER, colours.ALARM, colours.GREY, *colours.SYSTEM_TINTS[3::2])
_SCHEME = {
    "dk1": colours.INK, "lt1": colours.WHITE, "dk2": colours.BODY, "lt2": colours.TINT,
    **{f"accent{number}": colour for number, colour in enumerate(_ACCENTS, start=1)},
    "hlink": colours.LEAD, "folHlink": colours.GREY,
}  # fmt: skip
_FILL = '<a:solidFill><a:schemeClr val="phClr"/></a:solidFill>'
_LINE_WIDTHS_EMU = (6350, 12700, 19050)


def theme() -> bytes:
    """Return the theme part of the workbook."""
    scheme = "".join(f'<a:{name}><a:srgbClr val="{ink[1:].upper()}"/></a:{name}>' for name, ink in _SCHEME.items())
    face = f'<a:latin typeface="{TYPEFACE}"/><a:ea typeface=""/><a:cs typeface=""/>'
    lines = "".join(f'<a:ln w="{width}">{_FILL}</a:ln>' for width in _LINE_WIDTHS_EMU)
    effects = "<a:effectStyle><a:effectLst/></a:effectStyle>" * 3
    return (
        '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
        '<a:theme xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" name="spile"><a:themeElements>'
        f'<a:clrScheme name="spile">{scheme}</a:clrScheme><a:fontScheme name="spile"><a:majorFont>{face}</a:majorFont>'
        f'<a:minorFont>{face}</a:minorFont></a:fontScheme><a:fmtScheme name="spile">'
        f"<a:fillStyleLst>{_FILL * 3}</a:fillStyleLst><a:lnStyleLst>{lines}</a:lnStyleLst>"
        f"<a:effectStyleLst>{effects}</a:effectStyleLst><a:bgFillStyleLst>{_FILL * 3}</a:bgFillStyleLst>"
        "</a:fmtScheme></a:themeElements></a:theme>"
    ).encode()
