"""Zones drawn on a panel: where nothing may stand, and room kept for a later device; written into the project file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.bench.open_files import RefusedError
from layout.bench.shelf import new_id

if TYPE_CHECKING:
    from layout.bench.workbench import Workbench

_LEAST_MM = 1.0
"""Least side of a zone."""


def add_zone(
    bench: Workbench, kind: str, panel: str, box: tuple[float, float, float, float], *, name: str, layer: str = "all"
) -> None:
    """Write a no-go zone or a reserved room into the file.

    Parameters
    ----------
    kind
        ``no_go`` or ``reserved``.
    box
        Left, bottom, right and top in panel coordinates, mm.
    layer
        What a no-go zone is for: front, sheet, rear or all.

    Raises
    ------
    RefusedError
        If there is no such panel or kind, the zone has no size, or the file would not read with it.
    """
    known = bench.project.panels.get(panel)
    if known is None or kind not in ("no_go", "reserved"):
        raise RefusedError(f"no zone of kind '{kind}' on a panel '{panel}'")
    x0, x1 = sorted((box[0], box[2]))
    y0, y1 = sorted((box[1], box[3]))
    size = [round(x1 - x0, 1), round(y1 - y0, 1)]
    if min(size) < _LEAST_MM:
        raise RefusedError(f"draw it at least {_LEAST_MM:g} mm wide and high")
    at = [round((x0 + x1) / 2, 2), round((y0 + y1) / 2, 2)]
    words = name.strip() or ("no-go zone" if kind == "no_go" else "kept for later")
    table: dict[str, Any] = {"name": words}
    if kind == "no_go":
        table |= {"shape": {"rect": size, "at": at}} | ({"layer": layer} if layer != "all" else {})
    else:
        table |= {"size": size, "at": at}
    key = f"panels.{panel}.{kind}.{new_id(words, getattr(known, kind))}"
    bench.edit({key: table}, words=f"draw {words}")


def remove_zone(bench: Workbench, key: str) -> None:
    """Take a zone out of the file again, by its dotted key.

    Raises
    ------
    RefusedError
        If there is no such zone.
    """
    section, _, rest = key.partition(".")
    panel, _, way = rest.partition(".")
    kind, _, id_ = way.partition(".")
    known = bench.project.panels.get(panel) if section == "panels" else None
    if known is None or kind not in ("no_go", "reserved") or id_ not in getattr(known, kind):
        raise RefusedError(f"there is no zone '{key}'")
    bench.edit({key: None}, words=f"take out {getattr(known, kind)[id_].name or id_}")
