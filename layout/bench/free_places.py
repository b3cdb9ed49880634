"""Where a device would fit while all others stay, as the page lights it up; the engine and the judge say so."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.bench.open_files import RefusedError
from layout.bench.picture import path_data

if TYPE_CHECKING:
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project


def free_places(project: Project, arrangement: Arrangement, name: str) -> dict[str, Any]:
    """Return the areas that are free for a device, each with one good place in it, judged.

    Raises
    ------
    RefusedError
        If there is no such device on a panel, or its hole is cut.
    """
    from layout.placing.fits import free_spots  # what places is not needed to see and to drag
    from layout.placing.given_positions import is_cut

    device = project.devices.get(name)
    if device is None or device.face is None or not device.panel:
        raise RefusedError(f"no device '{name}' is for a panel")
    if is_cut(project, device) and name in arrangement.placed:
        raise RefusedError(f"the hole of {device.name or name} is cut, so it stays")
    face = device.face.to_path()
    return {
        "device": name,
        "name": device.name or name,
        "places": [
            {
                "panel": spot.placed.panel,
                "x": spot.placed.x,
                "y": spot.placed.y,
                "turn": spot.placed.turn,
                "face": path_data(face.turned(spot.placed.turn).moved(spot.placed.x, spot.placed.y)),
                "area": "".join(_ring(ring) for ring in spot.area),
            }
            for spot in free_spots(project, arrangement, name)
        ],
    }


def _ring(points: tuple[tuple[float, float], ...]) -> str:
    return "M" + "L".join(f"{round(x, 2):g} {round(y, 2):g}" for x, y in points) + "Z"
