"""Write a scene as SVG: real size in mm, viewBox in mm, groups with ids, text with its font inside."""

from __future__ import annotations

import re
from base64 import b64encode
from typing import TYPE_CHECKING, Any

import svgwrite

from layout.drawing.elements import colours, metrics
from layout.drawing.elements.hatch import hatch_lines
from layout.drawing.elements.scene import FillPath, Group, HatchPath, StrokePath, Text, resolved, scene_leaves
from layout.drawing.fonts.cut import font_for
from layout.geometry.path import Arc
from layout.geometry.shapes import as_circle
from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.drawing.elements.pens import Pen
    from layout.drawing.elements.scene import Item, Scene, Underlay
    from layout.geometry.path import Path, Point


WORDS = re.compile(r"([\s,;()]+)")


def svg_text(scene: Scene, *, embed_font: bool = True) -> str:
    """Return the scene as an SVG document.

    Parameters
    ----------
    embed_font
        Put the shipped font, cut down, into the file. Machines that cut get scenes
        without text, and so a file without font.
    """
    items = resolved(scene)
    drawing = _drawing(scene)
    texts = [item for item in scene_leaves(items) if isinstance(item, Text)]
    if texts and embed_font:
        drawing.defs.add(drawing.style(font_face(texts)))
    _lay(drawing, scene.underlay, scene.height_mm)
    _Writer(drawing, scene.height_mm).write(items, drawing)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + str(drawing.tostring()) + "\n"


def svg_element(
    scene: Scene, *, prefix: str, subjects: Mapping[str, str] | None = None, underlay: Underlay | None = None
) -> str:
    """Return the scene as an element for a page that brings the font (``font_face``) itself.

    Parameters
    ----------
    prefix
        Stands before every id, so that ids of several drawings on one page differ.
    subjects
        What a printed word stands for, dotted by kind (``wires.022a+``); such words carry it as ``data-subject``.
    underlay
        Its matrix gives mm of the scene.
    """
    drawing = _drawing(scene)
    _lay(drawing, underlay or scene.underlay, scene.height_mm, prefix=prefix)
    _Writer(drawing, scene.height_mm, prefix=prefix, subjects=subjects or {}).write(resolved(scene), drawing)
    return str(drawing.tostring())


def _lay(drawing: Any, underlay: Underlay | None, height_mm: float, *, prefix: str = "") -> None:
    """Put the picture under everything, cut off at the edges of its room."""
    if underlay is None:
        return
    a, b, c, d, e, f = underlay.matrix
    image = drawing.image(
        underlay.href, insert=(0, 0), size=underlay.size, preserveAspectRatio="none",
        transform=f"matrix({a:.9g} {-b:.9g} {c:.9g} {-d:.9g} {e:.9g} {height_mm - f:.9g})",
    )  # fmt: skip
    if underlay.room is None:
        drawing.add(image)
        return
    room = underlay.room
    clip = drawing.clipPath(id=f"{prefix}underlay-room")
    corner = (_number(room.x0), _number(height_mm - room.y1))
    clip.add(drawing.rect(insert=corner, size=(_number(room.width), _number(room.height))))
    drawing.defs.add(clip)
    group = drawing.g(clip_path=f"url(#{prefix}underlay-room)")
    group.add(image)
    drawing.add(group)


def _drawing(scene: Scene) -> Any:
    drawing = svgwrite.Drawing(
        size=(f"{_number(scene.width_mm * scene.stretch[0])}mm", f"{_number(scene.height_mm * scene.stretch[1])}mm"),
        viewBox=f"0 0 {_number(scene.width_mm)} {_number(scene.height_mm)}",
        preserveAspectRatio="none",
        profile="full",
        debug=False,
    )
    if scene.title:
        drawing.set_desc(title=in_language(scene.title))
    return drawing


class _Writer:
    """Walks the items; flips y; keeps group ids unique."""

    def __init__(
        self,
        drawing: svgwrite.Drawing,
        height_mm: float,
        *,
        prefix: str = "",
        subjects: Mapping[str, str] | None = None,
    ) -> None:
        self._drawing = drawing
        self._height = height_mm
        self._prefix = prefix
        self._subjects = subjects or {}
        self._ids: dict[str, int] = {}

    def write(self, items: tuple[Item, ...], into: Any) -> None:
        for item in items:
            match item:
                case Group():
                    group = self._drawing.g(**self._identity(item))
                    self.write(item.items, group)
                    into.add(group)
                case StrokePath():
                    round_one = as_circle(item.path) if item.path.closed else None
                    if round_one is None:
                        shape = self._drawing.path(d=self._data((item.path,)), fill="none", **_stroke(item.pen))
                    else:
                        (x, y), diameter = round_one
                        shape = self._drawing.circle(
                            center=(_number(x), _number(self._height - y)), r=_number(diameter / 2), fill="none",
                            **_stroke(item.pen),
                        )  # fmt: skip
                    into.add(shape)
                case FillPath():
                    data = self._data((item.path, *item.holes))
                    into.add(self._drawing.path(d=data, fill=item.colour, fill_rule="evenodd"))
                case HatchPath():
                    data = self._data(tuple(hatch_lines(item)))
                    if data:
                        into.add(self._drawing.path(d=data, fill="none", **_stroke(item.pen)))
                case Text():
                    into.add(self._text(item))

    def _identity(self, group: Group) -> dict[str, str]:
        extra = {}
        wanted = re.sub(r"[^A-Za-z0-9_.-]+", "-", group.name or group.layer).strip("-")
        if wanted:
            if not wanted[0].isalpha():
                wanted = f"g-{wanted}"
            count = self._ids[wanted] = self._ids.get(wanted, 0) + 1
            extra["id"] = self._prefix + (wanted if count == 1 else f"{wanted}-{count}")
        if group.layer:
            extra["class_"] = re.sub(r"[^A-Za-z0-9_-]+", "-", group.layer)
        if group.subject:
            extra["data-subject"] = group.subject
        return extra

    def _xy(self, point: Point) -> str:
        return f"{_number(point[0])} {_number(self._height - point[1])}"

    def _data(self, paths: tuple[Path, ...]) -> str:
        out = []
        for path in paths:
            out.append(f"M {self._xy(path.segments[0].start)}")
            for segment in path.segments:
                if isinstance(segment, Arc):
                    radius = _number(segment.radius)
                    large = int(abs(segment.sweep) > 3.14159265)
                    # y is flipped: counter-clockwise on paper is SVG's negative direction.
                    out.append(f"A {radius} {radius} 0 {large} {int(not segment.ccw)} {self._xy(segment.end)}")
                else:
                    out.append(f"L {self._xy(segment.end)}")
            if path.closed:
                out.append("Z")
        return " ".join(out)

    def _text(self, text: Text) -> Any:
        x, y = text.at[0], self._height - text.at[1]
        extra: dict[str, Any] = {}
        if text.turn_deg:
            extra["transform"] = f"rotate({_number(-text.turn_deg)} {_number(x)} {_number(y)})"
        if text.halo:
            extra |= {"stroke": colours.WHITE, "stroke_width": _number(text.height_mm * 0.35), "paint_order": "stroke"}
            extra["stroke_linejoin"] = "round"
        if text.bold:
            extra["font_weight"] = "bold"
        parts = WORDS.split(text.content)
        marked = any(part in self._subjects for part in parts)
        made = self._drawing.text(
            "" if marked else text.content,
            insert=(_number(x), _number(y - metrics.base_offset_mm(text))),
            font_size=_number(metrics.font_size_mm(text.height_mm)),
            font_family=f"'{metrics.FAMILY}', sans-serif",
            text_anchor={"left": "start", "centre": "middle", "right": "end"}[text.align],
            fill=text.colour,
            style="font-kerning:none;font-variant-ligatures:none;white-space:pre",
            **extra,
        )
        for part in parts if marked else ():
            known = {"data-subject": self._subjects[part]} if part in self._subjects else {}
            made.add(self._drawing.tspan(part, **known))
        return made


def _stroke(pen: Pen) -> dict[str, str]:
    style = {"stroke": pen.colour, "stroke_width": _number(pen.width_mm), "stroke_linejoin": "round"}
    if pen.dash_mm:
        style["stroke_dasharray"] = " ".join(_number(d) for d in pen.dash_mm)
    return style


def _number(value: float) -> str:
    """Format mm with a ten-thousandth, without trailing zeros."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def font_face(texts: Iterable[Text]) -> str:
    """Return the style sheet that brings the used letters of the shipped font."""
    texts = list(texts)
    rules = []
    for bold in (False, True):
        characters = frozenset(letter for text in texts if text.bold == bold for letter in text.content)
        if characters:
            data = b64encode(font_for(characters, bold=bold)).decode()
            weight = "bold" if bold else "normal"
            rules.append(
                f"@font-face{{font-family:'{metrics.FAMILY}';font-weight:{weight};"
                f"src:url(data:font/ttf;base64,{data}) format('truetype')}}"
            )
    return "".join(rules)
