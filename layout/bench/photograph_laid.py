"""The photograph under a panel, laid by three points on the page; written into the project file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.bench.open_files import RefusedError
from layout.drawing.panel.page_photograph import page_picture

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.bench.workbench import Workbench
    from layout.project.model.panel import Panel

LaidSpot = tuple[tuple[float, float], tuple[float, float]]
"""Pixels across and down of the upright picture, and where that is on the panel, mm."""

ENDINGS = (".jpg", ".jpeg", ".png")
_MOST_NAMES = 200
"""Pictures that are listed, the first by name."""


def pictures_data(bench: Workbench) -> dict[str, Any]:
    """Return the names of the pictures there are to lay, and how those that are laid lie."""
    laid = {key: panel.photograph for key, panel in bench.project.panels.items() if panel.photograph is not None}
    beside = [
        part.name
        for part in bench.path.parent.iterdir()
        if part.suffix.lower() in ENDINGS and not part.name.startswith(".") and part.is_file()
    ]
    names = sorted(beside)[:_MOST_NAMES]
    return {
        "names": sorted({*names, *(photograph.file for photograph in laid.values())}),
        "laid": {
            key: {
                "file": photograph.file,
                "points": [{"pixel": list(point.pixel), "at": list(point.at)} for point in photograph.points],
            }
            for key, photograph in laid.items()
        },
    }


def picture_data(bench: Workbench, name: str) -> dict[str, Any]:
    """Return a picture of the list, upright and made smaller: address with it inside, size in its own pixels.

    Raises
    ------
    RefusedError
        If the list has none of that name, or it can't be read as a picture.
    """
    if name not in pictures_data(bench)["names"]:
        raise RefusedError(f"no picture '{name}' lies beside the project")
    picture = page_picture(name, bench.path.parent)
    if isinstance(picture, str):
        raise RefusedError(f"the picture {picture}")
    return {"href": picture[0], "size": list(picture[1])}


def lay_photograph(bench: Workbench, panel: str, file: str, spots: Sequence[LaidSpot]) -> None:
    """Lay a picture that lies beside the project under a panel, by three spots of it; remarks in the file stay.

    Raises
    ------
    RefusedError
        If there is no such panel or picture, a spot lies outside the picture, the three are in a line, or the file
        would not read with it.
    """
    known = _panel(bench, panel)
    wide, tall = picture_data(bench, file)["size"]
    if any(not (0 <= u <= wide and 0 <= v <= tall) for (u, v), _ in spots):
        raise RefusedError(f"a mark lies outside the picture, which has {wide} x {tall} pixels")
    points = [{"pixel": _pair(pixel), "at": _pair(at)} for pixel, at in spots]
    key = f"panels.{panel}.photograph"
    settings: dict[str, object] = {key: {"file": file, "points": points}}
    if known.photograph is not None:  # value by value, so that what is remarked beside each stays
        settings = {f"{key}.file": file} | {
            f"{key}.points.{n}.{part}": value for n, point in enumerate(points) for part, value in point.items()
        }
    bench.edit(settings, words=f"lay the photograph under {known.name or panel}")


def remove_photograph(bench: Workbench, panel: str) -> None:
    """Take the photograph under a panel out of the project file; the picture itself stays where it is.

    Raises
    ------
    RefusedError
        If there is no such panel, or none lies under it.
    """
    known = _panel(bench, panel)
    if known.photograph is None:
        raise RefusedError(f"no photograph lies under {known.name or panel}")
    bench.edit({f"panels.{panel}.photograph": None}, words=f"take the photograph from under {known.name or panel}")


def _panel(bench: Workbench, key: str) -> Panel:
    if key not in bench.project.panels:
        raise RefusedError(f"there is no panel '{key}'")
    return bench.project.panels[key]


def _pair(values: tuple[float, float]) -> list[float]:
    """Return both to a tenth, whole numbers as such."""
    tenths = [round(value, 1) + 0.0 for value in values]
    return [int(value) if value.is_integer() else value for value in tenths]
