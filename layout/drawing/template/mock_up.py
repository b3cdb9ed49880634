"""The mock-up: every face at full size, to be cut out and taped to the bulkhead before anything is sawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import pens
from layout.drawing.elements.metrics import fitted_text
from layout.drawing.elements.numerals import mm
from layout.drawing.elements.scene import Item, Scene, StrokePath, Text
from layout.drawing.paper.drawing_sheets import sheet
from layout.drawing.paper.stamp import INVENTED
from layout.drawing.template.print_marks import bars
from layout.geometry.path import Box
from layout.light_dataclass import dataclass
from layout.placing.box_packing import packed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.geometry.path import Path
    from layout.project.model.device import Device
    from layout.project.model.project import Project

_MARGIN_MM, _HEAD_MM, _FOOT_MM, _GAP_MM = 10.0, 8.0, 22.0, 4.0


@dataclass(frozen=True, slots=True)
class Face:
    """A face, turned so that it lies low on the sheet, its lower left corner at the origin."""

    device: Device
    path: Path
    width_mm: float
    height_mm: float

    @property
    def turned(self) -> Face:
        """The face turned by 90 degrees."""
        return _lying(self.device, self.path.turned(90.0))


def mock_up_scenes(project: Project) -> tuple[Scene, ...]:
    """Return sheets with the faces of all devices of panels, as few as are found; none without a face.

    A face that no sheet takes is named at the foot of the first: it is taken from the template.
    """
    paper = sheet(project.workshop.paper)
    room = Box(
        _MARGIN_MM, _MARGIN_MM + _FOOT_MM, paper.width_mm - _MARGIN_MM, paper.height_mm - _MARGIN_MM - _HEAD_MM
    )  # fmt: skip
    faces = sorted(_faces(project, room), key=lambda face: (-face.height_mm, -face.width_mm, face.device.id))
    large = [face for face in faces if face.width_mm > room.width or face.height_mm > room.height]
    pages = _pages([face for face in faces if face not in large], room)
    if not pages:
        return ()
    names = ", ".join(face.device.name or face.device.id for face in large)
    scenes = []
    for number, items in enumerate(pages, start=1):
        head = f"Mock-up {number} of {len(pages)}: cut out, tape up, look, reach. Print at 100 %."
        foot = f"{INVENTED} " if project.project.example else ""
        large_ones = f"Larger than this sheet, take the template: {names}." if names and number == 1 else ""
        words = (
            Text((_MARGIN_MM, _MARGIN_MM + 3.2), fitted_text(large_ones, 1.8, room.width), 1.8),
            Text((_MARGIN_MM, paper.height_mm - _MARGIN_MM - 3.0), fitted_text(head, 2.5, room.width), 2.5),
            Text((_MARGIN_MM, _MARGIN_MM), f"{foot}Sizes as declared: compare each with its device.", 1.8),
            bars((_MARGIN_MM, _MARGIN_MM + 9.0), upright=False),
        )
        scenes.append(
            Scene(
                width_mm=paper.width_mm, height_mm=paper.height_mm, items=(*items, *words),
                title=f"Mock-up {number}", section="Mock-up",
            )
        )  # fmt: skip
    return tuple(scenes)


def _faces(project: Project, room: Box) -> Iterator[Face]:
    for device in project.devices.values():
        if not device.panel or device.face is None:
            continue
        path = device.face.to_path()
        box = path.bounds()
        if box.width > room.width or box.height > box.width:
            turned = path.turned(90.0)
            if turned.bounds().width <= room.width:
                path = turned
        yield _lying(device, path)


def _lying(device: Device, path: Path) -> Face:
    box = path.bounds()
    return Face(device, path.moved(-box.x0, -box.y0), box.width, box.height)


def _pages(faces: Sequence[Face], room: Box) -> list[list[Item]]:
    """Return what is drawn on each sheet, on as few as are found."""
    places = packed([(face.width_mm, face.height_mm) for face in faces], (room.width, room.height), gap_mm=_GAP_MM)
    pages: list[list[Item]] = [[] for _ in range(1 + max((place.sheet for place in places), default=-1))]
    for face, place in zip(faces, places, strict=True):
        lying = face.turned if place.turned else face
        pages[place.sheet] += _drawn(lying, room.x0 + place.x_mm, room.y0 + place.y_mm)
    return pages


def _drawn(face: Face, x: float, y: float) -> Iterator[Item]:
    device = face.device
    yield StrokePath(face.path.moved(x, y), pens.CUT)
    depths = [body.depth for body in device.behind]
    known = [depth for depth in depths if depth is not None]
    depth = "depth not known" if not known or len(known) < len(depths) else f"{mm(max(known))} mm deep behind"
    if device.mount == "surface":
        depth = "" if device.front_height is None else f"stands {mm(device.front_height)} mm out"
    room = face.width_mm - 3.0
    centre = (x + face.width_mm / 2, y + face.height_mm / 2)
    yield Text((centre[0], centre[1] + 0.8), fitted_text(device.name or device.id, 2.5, room), 2.5, "centre", bold=True)
    yield Text((centre[0], centre[1] - 3.2), fitted_text(depth, 1.8, room), 1.8, "centre")
