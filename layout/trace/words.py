"""A traced shape as the project file writes it, with no more digits than it bears."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from layout.trace.outline import Outline, through, track
from layout.trace.result import What

if TYPE_CHECKING:
    from layout.geometry.path import Point
    from layout.trace.result import Traced

STEPS_MM = (1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""What sizes are rounded to."""


def step_mm(uncertainty_mm: float) -> float:
    """Return what sizes are rounded to: at most a third of the uncertainty, so that rounding adds next to nothing."""
    return next((step for step in STEPS_MM if step <= uncertainty_mm / 3), STEPS_MM[-1])


def yaml_of(traced: Traced, source: str) -> str:
    """Return the lines for the project file, with what was measured and how well as comments.

    Parameters
    ----------
    source
        What it was traced from, in words.
    """
    step = step_mm(traced.uncertainty_mm)
    within = _number(traced.uncertainty_mm, 0.01)
    lines = [f"# traced from {source}: with 95 % nowhere farther off than {within} mm"]
    lines += [f"# {remark}" for remark in traced.remarks]
    lines += [
        f"# radius {_number(one.radius_mm, 0.1)} ± {_number(max(one.within_mm, 0.1), 0.1)}"
        + (f", the usual value is {one.round_mm:g}" if one.round_mm else "")
        for one in traced.radii
    ]
    shape = shape_words(traced.outline, step, traced.uncertainty_mm)
    whence = "traced" if traced.for_cutting else "guessed"
    over_width = _number(math.ceil(2 * traced.uncertainty_mm / step - 1e-9) * step, step)
    tolerance = f"{{plus: {over_width}, minus: {over_width}}}"
    if traced.what is What.NO_GO:
        lines += [f"shape: {shape}"]
    else:
        lines += [f"{traced.what}: {shape}", f"{traced.what}_tolerance: {tolerance}", f"size_from: {whence}"]
    return "\n".join(lines) + "\n"


def shape_words(outline: Outline, step: float, uncertainty_mm: float) -> str:
    """Return a shape in flow style: the plainest kind that says the same within half the uncertainty."""
    if outline.round:
        x, y, radius = outline.round
        at = "" if max(abs(x), abs(y)) < step / 2 else f", at: {_pair((x, y), step)}"
        return f"{{circle: {_number(2 * radius, step)}{at}}}"
    close = max(uncertainty_mm / 2, step)
    return _slot(outline, step, close) or _rectangle(outline, step, close) or _path(outline, step)


def _rectangle(outline: Outline, step: float, close: float) -> str:
    if len(outline.corners) != 4 or any(bulge is not None for bulge in outline.bulges):
        return ""
    box = _box(outline)
    radius = float(np.mean([radius or 0.0 for radius in outline.radii]))
    radius = min(radius, min(box[2], box[3]) / 2)
    if not _agrees(_of_box(box, radius), outline, close):
        return ""
    rounded = f", radius: {_number(radius, step)}" if radius >= step else ""
    return f"{{rect: {_pair((box[2], box[3]), step)}{rounded}{_at(box, step)}}}"


def _slot(outline: Outline, step: float, close: float) -> str:
    box = _box(outline)
    wide, tall = max(box[2:]), min(box[2:])
    if wide - tall < 4 * close or not _agrees(_of_box(box, tall / 2 - 1e-6), outline, close):
        return ""
    upright = ", turn: 90" if box[3] > box[2] else ""
    return f"{{slot: {_pair((wide, tall), step)}{_at(box, step)}{upright}}}"


def _box(outline: Outline) -> tuple[float, float, float, float]:
    """Return the middle, width and height of the outline's box."""
    box = outline.path().bounds()
    return (*box.centre, box.width, box.height)


def _of_box(box: tuple[float, float, float, float], radius: float) -> Outline:
    x, y, width, height = box
    corners = tuple((x + sx * width / 2, y + sy * height / 2) for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
    return Outline(corners=corners, radii=(radius or None,) * 4, bulges=(None,) * 4)


def _agrees(plain: Outline, outline: Outline, close: float) -> bool:
    """Tell whether two outlines lie within ``close`` of each other, both ways."""
    try:
        first, second = plain.path().points(close / 10), outline.path().points(close / 10)
    except ValueError:
        return False
    there, _ = track(outline).distances(np.array(first))
    back, _ = track(plain).distances(np.array(second))
    return bool(max(np.abs(there).max(), np.abs(back).max()) <= close)


def _at(box: tuple[float, float, float, float], step: float) -> str:
    return "" if max(abs(box[0]), abs(box[1])) < step / 2 else f", at: {_pair((box[0], box[1]), step)}"


def _path(outline: Outline, step: float) -> str:
    words = []
    for k, corner in enumerate(outline.corners):
        bulge = outline.bulges[k - 1]
        radius = outline.radii[k] or 0.0
        if bulge is not None:
            way = through(outline.corners[k - 1], corner, bulge)
            words.append(f"{{arc_to: {_pair(corner, step)}, through: {_pair(way, step)}}}")
        elif radius >= step:
            words.append(f"{{at: {_pair(corner, step)}, radius: {_number(radius, step)}}}")
        else:
            words.append(_pair(corner, step))
    return "{path: [" + ", ".join(words) + "]}"


def _pair(point: Point, step: float) -> str:
    return f"[{_number(point[0], step)}, {_number(point[1], step)}]"


def _number(value: float, step: float) -> str:
    rounded = round(round(value / step) * step, 4)
    return f"{rounded + 0.0:g}" if rounded else "0"
