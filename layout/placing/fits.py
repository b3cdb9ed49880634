"""Where one more device would fit in an arrangement, without moving anything or with the fewest moves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.frozen import FrozenMap
from layout.placing.engine.problem import SCALE, AnyZeroTerm, Linear
from layout.placing.given_positions import given, is_cut
from layout.placing.translation.layout_index import GivenPosition
from layout.placing.translation.pieces import Rounding
from layout.placing.translation.translate import Translated, translate
from layout.project.model.arrangement import Placed
from layout.project.model.device import Body, Device
from layout.project.model.panel import SizeFrom
from layout.project.model.shape import Shape

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.placing.engine.problem import ForbiddenRegion
    from layout.placing.translation.turns import Option
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

NEW = "one more"
"""Id of the device that is asked for, unless it has its own."""

MOVES_WORK = 6.0
"""Deterministic time for the search with moves."""

ELSEWHERE = 1 << 26
"""What another turn or panel adds to the sum that is 0 only where a device has not moved."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeSpot:
    """A place where the device fits, nothing moved.

    Attributes
    ----------
    placed
        One good place there: the one with most room around in its area.
    x0, y0, x1, y1
        Box around all places of the area, panel coordinates of the device's origin, mm.
    """

    placed: Placed
    x0: float
    y0: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fits:
    """Whether one more device fits.

    Attributes
    ----------
    device
        What was asked for.
    spots
        Areas in which it fits without moving anything, largest first; every spot has passed the judge.
    moved
        Where it fits only with moves: an arrangement with it, judged; None where none was found or none is needed.
    movers
        Ids of the devices that move in it.
    fewest
        Whether fewer moves are proven not to do.
    findings
        What could not be done.
    """

    device: Device
    spots: tuple[FreeSpot, ...]
    moved: Arrangement | None = None
    movers: tuple[str, ...] = ()
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
        body=(Body(shape=face, depth=None),),
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
    return _with_moves(more, arrangement, device, seed)


def _still(arrangement: Arrangement) -> dict[str, GivenPosition]:
    return {
        name: GivenPosition(x=one.x, y=one.y, turn=one.turn, panel=one.panel)
        for name, one in arrangement.placed.items()
    }


def _spots(project: Project, arrangement: Arrangement, device: Device) -> list[FreeSpot]:
    built = translate(project, side=Rounding.SAFE, held=_still(arrangement))
    if built.problem is None:
        return []
    k = built.index.number[device.id]
    found = []
    for t, option in enumerate(built.options[k]):
        for area, size in _free(built, k, t, arrangement):
            spot = _spot(project, arrangement, device, option, area)
            if spot is not None:
                found.append((size, spot))
    found.sort(key=lambda one: (-one[0], one[1].placed.panel, one[1].placed.x, one[1].placed.y, one[1].placed.turn))
    return [spot for _, spot in found]


def _free(built: Translated, k: int, t: int, arrangement: Arrangement) -> Iterator[tuple[object, float]]:
    """Yield the areas of positions, in steps, that the others leave to an item at a turn, with their sizes."""
    import shapely  # noqa: PLC0415

    still, option, problem = built.positions(arrangement.placed), built.options[k][t], built.wishing(())
    regions: list[tuple[ForbiddenRegion, int, int]] = [(region, 0, 0) for region in option.turn.forbidden]
    for other, (x, y) in enumerate(still.positions):
        if other != k and still.present[other]:
            i, j = min(other, k), max(other, k)
            turns = (still.turns[other], t) if other < k else (t, still.turns[other])
            sign = 1 if other < k else -1
            for region in problem.pairs.between(i, turns[0], j, turns[1]):
                rows = tuple((sign * a, sign * b, c) for a, b, c in region.rows)
                regions.append((replace(region, rows=rows), x, y))
    for room in option.turn.rooms:
        area = _polygon(room.rows, 0, 0)
        if area is None:
            continue
        bans = [ban for region, x, y in regions if (ban := _polygon(region.rows, x, y)) is not None]
        left = area.difference(shapely.union_all(bans)) if bans else area  # type: ignore[attr-defined]
        for part in shapely.get_parts(left):
            if part.geom_type == "Polygon" and part.area > 0:
                yield part, float(part.area)


def _polygon(rows: tuple[tuple[int, int, int], ...], x: int, y: int) -> object | None:
    """Return the polygon of rows about (x, y), by cutting a large square."""
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
    import shapely  # noqa: PLC0415

    made: object = shapely.Polygon([(px + x, py + y) for px, py in ring])
    return made


FAR_OUT = float(1 << 21)
"""Farther out than any position, in steps."""


def _spot(project: Project, arrangement: Arrangement, device: Device, option: Option, area: object) -> FreeSpot | None:
    """Return the grid position with most room around it in an area that the judge passes, if there is one."""
    import shapely  # noqa: PLC0415

    inner = shapely.maximum_inscribed_circle(area, tolerance=1.0)
    x, y = shapely.get_coordinates(inner)[0].tolist()
    corners = shapely.get_coordinates(area).tolist()
    for px, py in [(x, y), *sorted(map(tuple, corners))]:
        at = option.frame.mm(round(px), round(py))
        placed = Placed(device=device.id, panel=option.frame.panel, x=at[0], y=at[1], turn=option.stand.turn)
        if _passes(project, replace(arrangement, placed={**arrangement.placed, device.id: placed}), device.id):
            x0, y0, x1, y1 = area.bounds  # type: ignore[attr-defined]
            low, high = option.frame.mm(round(x0), round(y0)), option.frame.mm(round(x1), round(y1))
            return FreeSpot(placed=placed, x0=low[0], y0=low[1], x1=high[0], y1=high[1])
    return None


def _passes(project: Project, arrangement: Arrangement, name: str) -> bool:
    """Say whether the judge refuses nothing that concerns the new device."""
    from layout.placing.judge import judge, refusals  # noqa: PLC0415  (shapely)

    findings = refusals(judge(project, arrangement, chosen=arrangement))
    return not any(f"devices.{name}" in finding.subjects or finding.rule == "panel 26" for finding in findings)


def _with_moves(project: Project, arrangement: Arrangement, device: Device, seed: int) -> Fits:
    from layout.placing.engine.cpsat.hard_part import exact_model as exact  # noqa: PLC0415  (ortools is slow to import)
    from layout.placing.engine.cpsat.objective import objective  # noqa: PLC0415
    from layout.placing.engine.cpsat.solver import run_cpsat  # noqa: PLC0415
    from layout.placing.judge import judge, refusals  # noqa: PLC0415

    held, _ = given(project, keep=(), chosen=arrangement)
    fixed = [name for name, one in project.devices.items() if name in arrangement.placed and is_cut(project, one)]
    still = _still(arrangement)
    built = translate(project, side=Rounding.SAFE, held={**held, **{name: still[name] for name in fixed}})
    if built.problem is None:
        return Fits(device=device, spots=(), findings=(_no(device, sure=False),))
    problem = replace(built.problem, terms=_stays(built, arrangement))
    model = exact(problem)
    objective(model)
    answer = run_cpsat(model, work=MOVES_WORK, wall_s=60.0, seed=seed)
    if answer.arrangement is None:
        return Fits(device=device, spots=(), findings=(_no(device, sure=answer.infeasible),))
    placed = {name: one for name, one in built.placed(answer.arrangement).items() if name in project.devices}
    moved = replace(arrangement, placed=placed, proof="feasible", bound=None, gap=None, value=0.0, by_wish={})
    if refusals(judge(project, moved, chosen=arrangement)):
        return Fits(device=device, spots=(), findings=(_no(device, sure=False),))
    movers = tuple(name for name, one in placed.items() if name != device.id and one != arrangement.placed.get(name))
    note = Finding(
        rule="fit 12",
        message=f"{device.name or device.id} fits only if {len(movers)} devices move: {', '.join(movers)}",
    )
    return Fits(device=device, spots=(), moved=moved, movers=movers, fewest=answer.proven, findings=(note,))


def _stays(built: Translated, arrangement: Arrangement) -> tuple[AnyZeroTerm, ...]:
    """Return terms that cost 1 for each device that moves or turns."""
    still = built.positions(arrangement.placed)
    terms = []
    for k, thing in enumerate(built.index.things):
        if not still.present[k]:
            continue
        (x, y), factor = still.positions[k], SCALE * 4096
        turns = tuple(0 if t == still.turns[k] else ELSEWHERE for t in range(len(built.options[k])))
        expr = Linear(
            terms=((k, 0, factor), (k, 1, 1)), const=-factor * x - y, by_turn=((k, turns),) if any(turns) else ()
        )
        terms.append(AnyZeroTerm(name=f"{thing.name} stays", weight=1, exprs=(expr,)))
    return tuple(terms)


def _no(device: Device, *, sure: bool) -> Finding:
    how = "fits nowhere, even if others move" if sure else "was found no place, even with moves, and none is ruled out"
    return Finding(
        rule="fit 13", message=f"{device.name or device.id} {how}", remedy="a smaller device, or leave one out"
    )
