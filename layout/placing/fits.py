"""Where one more device would fit in an arrangement, without moving anything or with the fewest moves."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.placing.fewest_moves import MOST_MOVERS, fewest_moves, moved_arrangement, moves_words
from layout.placing.freed import bans_by
from layout.placing.given_positions import given, still_at
from layout.placing.translation.pieces import Rounding
from layout.placing.translation.translate import Translated, translate
from layout.project.model.arrangement import Placed
from layout.project.model.device import Behind, Device
from layout.project.model.panel import SizeFrom
from layout.project.model.reserved_room import stand_ins, without_room
from layout.project.model.shape import Shape

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layout.geometry.box import Point
    from layout.placing.translation.layout_index import GivenPosition
    from layout.placing.translation.turns import Option
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

NEW = "one more"
"""Id of the device that is asked for, unless it has its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeSpot:
    """A place where the device fits, nothing moved.

    Attributes
    ----------
    placed
        One good place there: the one with most room around in its area.
    x0, y0, x1, y1
        Box around all places of the area, panel coordinates of the device's origin, mm.
    area
        The places themselves: rings of points, the outer one first, then those of the gaps in it.
    """

    placed: Placed
    x0: float
    y0: float
    x1: float
    y1: float
    area: tuple[tuple[Point, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fits:
    """Whether one more device fits.

    Attributes
    ----------
    device
        What was asked for.
    spots
        Areas in which it fits without moving anything: on panels where its kind belongs first, then the largest;
        every spot has passed the judge.
    given_up
        Where nothing is free: by the path of reserved room, areas in which it fits if that room is given up.
    moved
        Where it fits only with moves: an arrangement with it, judged; None where none was found or none is needed.
    movers
        Ids of the devices that move in it, and paths of reserved room, with how far, mm; infinite for another turn or
        panel.
    fewest
        Whether fewer moves are proven not to do.
    findings
        What could not be done.
    """

    device: Device
    spots: tuple[FreeSpot, ...]
    given_up: Mapping[str, tuple[FreeSpot, ...]] = field(default_factory=FrozenMap)
    moved: Arrangement | None = None
    movers: Mapping[str, float] = field(default_factory=FrozenMap)
    fewest: bool = False
    findings: tuple[Finding, ...] = ()


def of_size(project: Project, width_mm: float, height_mm: float) -> Device:
    """Return a stand-in for a device of which only the face is known.

    Its cut-out and body are taken as large as its face and its depth as endless, so that what is unknown never passes;
    it may stand either way up on any panel.
    """
    face = Shape(rect=(width_mm, height_mm))
    return Device(
        id=NEW,
        name=f"a device of {width_mm:g} x {height_mm:g} mm",
        panel=tuple(project.panels),
        face=face,
        cutout=(face,),
        behind=(Behind(shape=face, depth=None),),
        turns=(0,) if width_mm == height_mm else (0, 90),
        size_from=SizeFrom.GUESSED,
    )


def fits(project: Project, arrangement: Arrangement, device: Device, *, seed: int = 1) -> Fits:
    """Say where one more device would fit.

    Parameters
    ----------
    arrangement
        The chosen one; nothing of it moves unless it has to.
    device
        What is to be added; ``of_size`` makes one from a size. Its id must be new to the project.

    Raises
    ------
    ValueError
        If the project has a device of that id already.
    """
    if device.id in project.devices:
        raise ValueError(f"the project has a device '{device.id}' already")
    more = replace(project, devices=FrozenMap({**project.devices, device.id: device}))
    spots = tuple(_spots(more, arrangement, device))
    if spots:
        return Fits(device=device, spots=spots)
    given_up = {
        name: found
        for name, room in stand_ins(project).items()
        if room.panel[0] in device.panel
        and (found := tuple(_spots(without_room(more, name), _without(arrangement, name), device)))
    }
    return replace(_with_moves(more, arrangement, device, seed), given_up=FrozenMap(given_up))


def free_spots(project: Project, arrangement: Arrangement, device: str) -> tuple[FreeSpot, ...]:
    """Return the areas in which a device of the project fits while all others stay, the one it stands in among them.

    A pin of its own does not count: it goes along when the device is moved by hand.
    """
    free = replace(project.devices[device], pin=None)
    loose = replace(project, devices=FrozenMap({**project.devices, device: free}))
    others = FrozenMap({name: at for name, at in arrangement.placed.items() if name != device})
    return tuple(_spots(loose, replace(arrangement, placed=others), free))


def _without(arrangement: Arrangement, room: str) -> Arrangement:
    return replace(arrangement, rooms=FrozenMap({name: at for name, at in arrangement.rooms.items() if name != room}))


def _spots(project: Project, arrangement: Arrangement, device: Device) -> list[FreeSpot]:
    built = translate(project, side=Rounding.SAFE, held=still_at({**arrangement.placed, **arrangement.rooms}))
    if built.problem is None:
        return []
    k = built.index.number[device.id]
    found = []
    for t, option in enumerate(built.options[k]):
        for area, size in _free(built, k, t, arrangement):
            spot = _spot(project, arrangement, device, option, area)
            if spot is not None:
                found.append((size, spot))
    belongs = {panel: _alike(project, arrangement, device, panel) for panel in device.panel}
    found.sort(
        key=lambda sized: (-belongs[sized[1].placed.panel], -sized[0], sized[1].placed.panel, sized[1].placed.x,
                           sized[1].placed.y, sized[1].placed.turn)
    )  # fmt: skip
    return [spot for _, spot in found]


def _alike(project: Project, arrangement: Arrangement, device: Device, panel: str) -> int:
    """Return how many devices of a panel are of a kind with one more: of its type or a class, or looked at as it is."""
    there = [
        project.devices[name] for name, one in arrangement.placed.items() if one.panel == panel and name != device.id
    ]
    return sum(
        (other.type is not None and other.type == device.type)
        or bool(set(other.classes) & set(device.classes))
        or (device.eye and other.eye)
        or (device.reach and other.reach)
        for other in there
    )


def _free(built: Translated, k: int, t: int, arrangement: Arrangement) -> Iterator[tuple[object, float]]:
    """Yield the areas of positions, in steps, that the others leave to an item at a turn, with their sizes."""
    import shapely

    still, option, problem = (
        built.positions({**arrangement.placed, **arrangement.rooms}),
        built.options[k][t],
        built.wishing(()),
    )
    regions = [*option.turn.forbidden]
    for other, is_there in enumerate(still.present):
        if other != k and is_there:
            regions += bans_by(problem, still, k, t, other)
    for room in option.turn.rooms:
        area = _polygon(room.rows)
        if area is None:
            continue
        bans = [ban for region in regions if (ban := _polygon(region.rows)) is not None]
        left = area.difference(shapely.union_all(bans)) if bans else area  # type: ignore[attr-defined]
        for part in shapely.get_parts(left):
            if part.geom_type == "Polygon" and part.area > 0:
                yield part, float(part.area)


def _polygon(rows: tuple[tuple[int, int, int], ...]) -> object | None:
    """Return the polygon of rows, by cutting a large square."""
    ring = [(-FAR_OUT, -FAR_OUT), (FAR_OUT, -FAR_OUT), (FAR_OUT, FAR_OUT), (-FAR_OUT, FAR_OUT)]
    for a, b, c in rows:
        cut: list[tuple[float, float]] = []
        for (px, py), (qx, qy) in zip(ring, [*ring[1:], ring[0]], strict=True):
            p, q = c - a * px - b * py, c - a * qx - b * qy
            if p >= 0:
                cut.append((px, py))
            if (p > 0 > q) or (p < 0 < q):
                cut.append((px + (qx - px) * p / (p - q), py + (qy - py) * p / (p - q)))
        ring = cut
        if len(ring) < 3:
            return None
    import shapely

    made: object = shapely.Polygon(ring)
    return made


FAR_OUT = float(1 << 21)
"""Farther out than any position, in steps."""


def _spot(project: Project, arrangement: Arrangement, device: Device, option: Option, area: object) -> FreeSpot | None:
    """Return the grid position with most room around it in an area that the judge passes, if there is one."""
    import shapely

    inner = shapely.maximum_inscribed_circle(area, tolerance=1.0)
    x, y = shapely.get_coordinates(inner)[0].tolist()
    corners = shapely.get_coordinates(area).tolist()
    for px, py in [(x, y), *sorted(map(tuple, corners))]:
        at = option.frame.mm(round(px), round(py))
        placed = Placed(device=device.id, panel=option.frame.panel, x=at[0], y=at[1], turn=option.stand.turn)
        if _passes(
            project, replace(arrangement, placed=FrozenMap({**arrangement.placed, device.id: placed})), device.id
        ):
            x0, y0, x1, y1 = area.bounds  # type: ignore[attr-defined]
            low, high = option.frame.mm(round(x0), round(y0)), option.frame.mm(round(x1), round(y1))
            rings = [area.exterior, *area.interiors]  # type: ignore[attr-defined]
            return FreeSpot(
                placed=placed, x0=low[0], y0=low[1], x1=high[0], y1=high[1],
                area=tuple(tuple(option.frame.mm(px, py) for px, py in ring.coords) for ring in rings),
            )  # fmt: skip
    return None


def _passes(project: Project, arrangement: Arrangement, name: str) -> bool:
    """Say whether the judge refuses nothing that concerns the new device."""
    from layout.placing.judge import judge, refusals  # shapely

    findings = refusals(judge(project, arrangement, chosen=arrangement))
    return not any(f"devices.{name}" in finding.subjects for finding in findings)


def _with_moves(project: Project, arrangement: Arrangement, device: Device, seed: int) -> Fits:
    from layout.placing.judge import judge, refusals

    held, _ = given(project, keep=(), chosen=arrangement)
    moves = fewest_moves(project, arrangement, held=held, seed=seed)
    if moves is None:
        return Fits(device=device, spots=(), findings=(_no(device, sure=_is_ruled_out(project, held)),))
    moved = moved_arrangement(arrangement, project, moves)
    if refusals(judge(project, moved, chosen=arrangement)):
        return Fits(device=device, spots=(), findings=(_no(device, sure=False),))
    note = Finding(rule="fit 12", message=f"{device.name or device.id} fits only if {moves_words(project, moves)}")
    return Fits(device=device, spots=(), moved=moved, movers=moves.movers, fewest=moves.fewest, findings=(note,))


def _is_ruled_out(project: Project, held: Mapping[str, GivenPosition]) -> bool:
    """Say whether arithmetic shows that not all can stand, wherever the others go."""
    from layout.placing.engine.precheck import prechecks

    loose = translate(project, side=Rounding.LOOSE, held=held)
    return loose.problem is None or bool(prechecks(loose.problem))


def _no(device: Device, *, sure: bool) -> Finding:
    how = (
        "fits nowhere, even if others move"
        if sure
        else f"fits nowhere with up to {MOST_MOVERS} others moved, as far as was tried; that it can't fit is not proven"
    )
    return Finding(
        rule="fit 13", message=f"{device.name or device.id} {how}", remedy="a smaller device, or leave one out"
    )
