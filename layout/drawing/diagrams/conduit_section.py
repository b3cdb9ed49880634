"""Section of a filled conduit or trunk in true proportion: every cable a circle of its outer diameter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.diagrams.round_packing import Lying, Round, Square, bundle_mm, pack
from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import width_mm, wrapped
from layout.drawing.elements.numerals import mm
from layout.drawing.elements.scene import FillPath, Item, Scene, StrokePath, Text, line, rect
from layout.geometry.path import Box
from layout.geometry.shapes import circle
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.geometry.path import Point

SCALES = (10.0, 5.0, 4.0, 3.0, 2.0, 1.5, 1.0, 0.5)
"""Enlargements tried from the largest; ISO 5455 has 10, 5, 2, 1 and 0.5, the others fill a page better."""
_TINTS = colours.CABLE_TINTS
"""Fill of a cable by its class; the number inside and the table say the same without colour."""
WALL = pens.Pen(name="wall", width_mm=0.7)
CABLE = pens.Pen(name="cable", width_mm=0.25)
_SMALLEST_TEXT_MM = 1.3


@dataclass(frozen=True, slots=True, kw_only=True)
class CableCircle:
    """One cable of the section: what stands in its circle, outer diameter (None: not known), and class."""

    mark: str
    od_mm: float | None
    kind: str = "dc"


def conduit_section(
    cables: Sequence[CableCircle],
    *,
    bore_mm: float | None = None,
    inner_mm: tuple[float, float] | None = None,
    compartments: bool = False,
    room_mm: tuple[float, float] = (110.0, 80.0),
    title: str = "",
) -> Scene:
    """Return the section of one wireway.

    Parameters
    ----------
    cables
        In pulling order.
    bore_mm, inner_mm
        Bore of a conduit, or inner width and height of a trunk. With neither (tray, free run) the cables are shown as
        the round bundle they make.
    compartments
        Whether the trunk keeps classes apart by walls; each class then gets a share of its width by area.
    room_mm
        Largest width and height of the picture.

    Raises
    ------
    ValueError
        Both ``bore_mm`` and ``inner_mm`` are given.
    """
    if bore_mm is not None and inner_mm is not None:
        raise ValueError("a wireway has a bore or an inner width and height, not both")
    known = [cable for cable in cables if cable.od_mm is not None]
    diameters = [cable.od_mm for cable in known if cable.od_mm is not None]
    unknown = [cable.mark for cable in cables if cable.od_mm is None]
    walls: list[Point] = []
    if inner_mm is not None:
        wide, tall = inner_mm
        lying, homeless, walls = _in_trunk(known, diameters, inner_mm, compartments=compartments)
    else:
        wide = tall = bore_mm if bore_mm is not None else (bundle_mm(diameters) if diameters else 10.0)
        packed, left = pack(Round(wide), diameters)
        lying, homeless = list(packed), list(left)
    scale = next((s for s in SCALES if wide * s <= room_mm[0] and tall * s <= room_mm[1] - 16), SCALES[-1])
    notes = _notes(
        size=f"bore {mm(wide)} mm" if bore_mm is not None else f"inside {mm(wide)} x {mm(tall)} mm" if inner_mm
        else f"as one round bundle about {mm(wide)} mm; nothing here fills up",
        scale=scale,
        homeless=[known[index].mark for index in homeless],
        unknown=unknown,
        room_mm=room_mm[0],
    )  # fmt: skip
    height = tall * scale + 4 + 4.0 * len(notes)
    width = max(wide * scale + 4, *(width_mm(text, 2.5) + 4 for text, _ in notes))
    centre = (width / 2, height - 2 - tall * scale / 2)
    items = _outline(centre, (wide * scale, tall * scale), bore_mm=bore_mm, inner_mm=inner_mm)
    for x, _ in walls:
        at = centre[0] + x * scale
        items.append(line((at, centre[1] - tall * scale / 2), (at, centre[1] + tall * scale / 2), WALL))
    for cable in lying:
        items += _circle(known[cable.index], cable, centre, scale)
    y = centre[1] - tall * scale / 2 - 5.5
    for text, colour in notes:
        items.append(Text((width / 2, y), text, 2.5, "centre", colour=colour))
        y -= 4.0
    return Scene(width_mm=width, height_mm=height, items=tuple(items), title=title)


def _in_trunk(
    known: Sequence[CableCircle], diameters: Sequence[float], inner_mm: tuple[float, float], *, compartments: bool
) -> tuple[list[Lying], list[int], list[Point]]:
    wide, tall = inner_mm
    kinds = list(dict.fromkeys(cable.kind for cable in known)) if compartments else [""]
    area = {k: sum(d * d for c, d in zip(known, diameters, strict=True) if k in ("", c.kind)) for k in kinds}
    total = sum(area.values()) or 1.0
    lying: list[Lying] = []
    homeless: list[int] = []
    walls: list[Point] = []
    x = -wide / 2
    for number, kind in enumerate(kinds):
        end = x + wide * area[kind] / total if number + 1 < len(kinds) else wide / 2
        mine = [index for index, cable in enumerate(known) if kind in ("", cable.kind)]
        laid, left = pack(Square(x, -tall / 2, end, tall / 2), [diameters[index] for index in mine])
        lying += [Lying(mine[cable.index], cable.at, cable.diameter_mm) for cable in laid]
        homeless += [mine[index] for index in left]
        if number + 1 < len(kinds):
            walls.append((end, 0.0))
        x = end
    return lying, homeless, walls


def _outline(
    centre: Point, size: tuple[float, float], *, bore_mm: float | None, inner_mm: tuple[float, float] | None
) -> list[Item]:
    x, y = centre
    wide, tall = size
    if inner_mm is not None:
        return [rect(Box(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2), WALL)]
    if bore_mm is not None:
        return [StrokePath(circle(wide, at=centre), WALL)]
    return [StrokePath(circle(wide, at=centre), pens.ADJACENT)]


def _circle(cable: CableCircle, lying: Lying, centre: Point, scale: float) -> list[Item]:
    at = (centre[0] + lying.at[0] * scale, centre[1] + lying.at[1] * scale)
    across = lying.diameter_mm * scale
    path = circle(across, at=at)
    items: list[Item] = [FillPath(path, _TINTS.get(cable.kind, colours.TINT)), StrokePath(path, CABLE)]
    height = min(3.5, 0.5 * across)
    while height > _SMALLEST_TEXT_MM and width_mm(cable.mark, height) > 0.8 * across:
        height -= 0.1
    if width_mm(cable.mark, height) <= 0.95 * across:
        items.append(Text(at, cable.mark, height, "centre", "middle"))
    return items


def _notes(
    *, size: str, scale: float, homeless: Sequence[str], unknown: Sequence[str], room_mm: float
) -> list[tuple[str, str]]:
    shown = f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"
    notes = [(f"{size}, drawn {shown}", colours.INK)]
    if homeless:
        text = f"NO PLACE FOUND in this picture for {', '.join(homeless)}: the wireway is very full."
        notes += [(part, colours.ALARM) for part in wrapped(text, 2.5, room_mm)]
    if unknown:
        text = f"NOT SHOWN, outer diameter not known: {', '.join(unknown)}."
        notes += [(part, colours.ALARM) for part in wrapped(text, 2.5, room_mm)]
    return notes
