"""A panel's photograph as it goes into a page: upright, made smaller, and without what a camera adds to a picture.

A telephone writes into a picture where and when it was taken. None of that is handed on.
"""

from __future__ import annotations

import io
from base64 import b64encode
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from layout.drawing.elements.scene import Underlay

if TYPE_CHECKING:
    from layout.findings import Finding
    from layout.project.model.panel import Photograph
    from layout.project.model.project import Project

LONGEST_PX = 1600
"""A longer side is made smaller to this."""

MOST_PX = 120_000_000
"""A picture with more pixels is not opened: no camera gives that, and it would fill the memory."""

QUALITY = 80

PagePicture = tuple[str, tuple[int, int]]
"""Address with the picture inside, and its size before it was made smaller: across and down, px."""


def photographs(project: Project, folder: Path) -> tuple[dict[str, Underlay], tuple[Finding, ...]]:
    """Return each panel's photograph in panel mm by the panel's id, and what is wrong with the others.

    Parameters
    ----------
    folder
        The project's; files are named from it.
    """
    made: dict[str, Underlay] = {}
    findings: list[Finding] = []
    for key, panel in project.panels.items():
        if panel.photograph is None:
            continue
        picture = page_picture(panel.photograph.file, folder)
        if isinstance(picture, str):
            message, where = f"{panel.name or key}: its photograph {picture}", f"panels.{key}.photograph.file"
            remedy = "name a JPEG or PNG in the project's folder, or leave photograph out"
            findings.append(project.finding("paper 11", where, message, remedy=remedy))
        else:
            made[key] = Underlay(href=picture[0], size=picture[1], matrix=matrix(panel.photograph))
    return made, tuple(findings)


def matrix(photograph: Photograph) -> tuple[float, float, float, float, float, float]:
    """Return ``(a, b, c, d, e, f)``: pixel (u, v) lies at (a u + c v + e, b u + d v + f) on the panel, mm.

    The map that is exact at the three points; straight lines stay straight, perspective stays in.
    """
    (u0, v0), (u1, v1), (u2, v2) = (point.pixel for point in photograph.points)
    whole = (u1 - u0) * (v2 - v0) - (u2 - u0) * (v1 - v0)
    found: list[tuple[float, float, float]] = []
    for axis in (0, 1):
        w0, w1, w2 = (point.at[axis] for point in photograph.points)
        by_u = ((w1 - w0) * (v2 - v0) - (w2 - w0) * (v1 - v0)) / whole
        by_v = ((w2 - w0) * (u1 - u0) - (w1 - w0) * (u2 - u0)) / whole
        found.append((by_u, by_v, w0 - by_u * u0 - by_v * v0))
    (a, c, e), (b, d, f) = found
    return a, b, c, d, e, f


def page_picture(name: str, folder: Path) -> PagePicture | str:
    """Return a picture of the project's folder as it goes into a page, or in words why there is none."""
    wanted, file = PurePosixPath(name), folder / name
    outside = wanted.is_absolute() or ".." in wanted.parts or any(sign in name for sign in "\\:~\0")
    if outside or not file.resolve().is_relative_to(folder.resolve()):
        return f"'{name}' lies outside the project's folder"
    if not file.is_file():
        return f"'{name}' is not there"
    try:
        return _upright(file)
    except (OSError, ValueError, SyntaxError):  # what the library raises for a damaged picture
        return f"'{name}' can't be read as a picture"


def _upright(file: Path) -> PagePicture | str:
    from PIL import Image, ImageOps

    with Image.open(file, formats=("JPEG", "PNG")) as raw:
        if raw.width * raw.height > MOST_PX:
            return f"'{file.name}' has {raw.width} x {raw.height} pixels, at most {MOST_PX:,} are opened"
        upright = ImageOps.exif_transpose(raw).convert("RGB")
    size = upright.size
    upright.thumbnail((LONGEST_PX, LONGEST_PX))
    plain = Image.new("RGB", upright.size)
    plain.paste(upright)  # the picture alone, without what the file says beside it
    stream = io.BytesIO()
    plain.save(stream, "JPEG", quality=QUALITY)
    return f"data:image/jpeg;base64,{b64encode(stream.getvalue()).decode()}", size
