"""A shape from photographs with marks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from layout.light_dataclass import dataclass
from layout.trace.adjust import PAPER_HALF_MM, Shot
from layout.trace.checks import check_fit, check_marks
from layout.trace.contour import stations
from layout.trace.edges import Sight, first_steps, profiles, px_mm
from layout.trace.errors import EDGE_SD_HOLE_PX, EDGE_SD_PX, stated_mm
from layout.trace.find import find_marks
from layout.trace.finish import finished
from layout.trace.fit import fitted_outline
from layout.trace.flat import Flat, flattened
from layout.trace.frame import out_of_frame
from layout.trace.poses import placed
from layout.trace.region import rough_outline
from layout.trace.result import Traced, TraceError, What

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.trace.adjust import Adjusted
    from layout.trace.arrays import Floats
    from layout.trace.fit import Fit
    from layout.trace.picture import Photo

MOST_PHOTOGRAPHS = 8
"""More tell nothing new, and take long."""
UNKNOWN_EDGE_SD_MM = 6.0
"""How far the edge may stand above or below the marks if nobody says."""
EDGE_SD_MM = 0.2
"""How well a caliper and a board's evenness tell it."""
BANDS_MM = ((-14.0, 14.0), (-5.0, 5.0))
"""How far from the rough edge, and then from the first fit, the edge is looked for."""
CORNER_MM = 14.0
"""So far from a corner the edge is measured more closely, for the sake of its radius."""
AGREE_MM = 0.8
"""Photographs that see the edge farther apart than this see different things."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotographAsked:
    """What the photographs do not show.

    Attributes
    ----------
    what
        What it becomes in the project.
    above_mm
        How far the edge stands above the marks; None is not known, and then the result is not for cutting.
    tape
        Two sheets and the distance between their crosses, mm.
    hole
        Whether the flat face lies about the shape rather than in it; None takes a cut-out that is level with the marks
        for a hole.
    inside, rough
        A pixel of the first photograph inside the shape, and a rough outline in its pixels, if somebody pointed.
    """

    what: What
    above_mm: float | None = None
    tape: tuple[int, int, float] | None = None
    hole: bool | None = None
    inside: tuple[float, float] | None = None
    rough: tuple[tuple[float, float], ...] = ()

    @property
    def is_hole(self) -> bool:
        """Whether the face lies about the shape."""
        return self.hole if self.hole is not None else self.what is not What.OUTLINE and (self.above_mm or 0.0) <= 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Photographed:
    """A traced shape, and the first photograph corrected so that it can be laid under it."""

    traced: Traced
    flat: Flat
    sheets: tuple[int, ...]


def from_photographs(photos: Sequence[Photo], asked: PhotographAsked) -> Photographed:
    """Return the shape of a flat thing that was photographed with sheets of marks round it.

    Raises
    ------
    TraceError
        When the photographs can't be trusted; it says what to do better.
    """
    if len(photos) > MOST_PHOTOGRAPHS:
        raise TraceError(f"{len(photos)} photographs are more than are used", f"give the {MOST_PHOTOGRAPHS} best")
    if any(photo.light.shape != photos[0].light.shape for photo in photos):
        raise TraceError(
            "the photographs are of different sizes", "take all with one telephone, held the same way, at one zoom"
        )
    shots = tuple(_shot(photo) for photo in photos)
    place = placed(shots, photos[0].focal_px, asked.tape)
    check_marks(place)
    height = asked.above_mm if asked.above_mm is not None else 0.0
    flat = _flat(photos[0], place, height)
    chain = _rough(flat, place, asked, height)
    sights = tuple(Sight(photo, view, height) for photo, view in zip(photos, place.views(), strict=True))
    fit, edge = _fitted(sights, chain, hole=asked.is_hole)
    pixel_mm = px_mm(sights[0], edge)
    check_fit(sights, fit, edge, pixel_mm=pixel_mm, hole=asked.is_hole)
    height_sd = EDGE_SD_MM if asked.above_mm is not None else UNKNOWN_EDGE_SD_MM
    edge_sd = pixel_mm * (EDGE_SD_HOLE_PX if asked.is_hole else EDGE_SD_PX)
    stated = stated_mm(place, fit, height, height_sd, edge_sd)
    traced = finished(
        fit,
        edge,
        asked.what,
        uncertainty_mm=stated,
        edge_sd_mm=max(2 * edge_sd, stated / 4),
        for_cutting=asked.above_mm is not None and asked.tape is not None,
        remarks=_remarks(asked),
    )
    cut = _cut_to(photos[0], place, height, traced)
    return Photographed(traced=traced, flat=cut, sheets=tuple(place.model.numbers_of))


def _remarks(asked: PhotographAsked) -> tuple[str, ...]:
    said = []
    if asked.above_mm is None:
        said.append("how far the edge stands above the marks was not told: not for cutting")
    if asked.tape is None:
        said.append("no distance between two sheets was taped: not for cutting")
    return tuple(said)


def _shot(photo: Photo) -> Shot:
    seen = find_marks(photo)
    counts: dict[int, int] = {}
    for one in seen:
        counts[one.mark.sheet] = counts.get(one.mark.sheet, 0) + 1
    kept = tuple(one for one in seen if counts[one.mark.sheet] >= 3)
    if len({one.mark.sheet for one in kept}) < 2:
        raise TraceError(
            f"'{photo.name}' shows fewer than two whole sheets with marks",
            "lay two or more sheets beside the thing, with all their marks free and in the picture",
        )
    return Shot(seen=kept, width=photo.width, height=photo.height)


def _papers(place: Adjusted) -> list[Floats]:
    """Return the corners of every sheet's paper in the plane."""
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * np.array(PAPER_HALF_MM)
    count = len(place.model.numbers_of)
    zero = np.zeros((4, 2))
    return [place.model.points(place.numbers, [k] * 4, corners, zero)[:, :2] for k in range(count)]


def _flat(photo: Photo, place: Adjusted, height: float) -> Flat:
    """Return the photograph corrected, all sheets and their surroundings in it."""
    papers = np.vstack(_papers(place))
    low, high = papers.min(axis=0), papers.max(axis=0)
    middle, half = (low + high) / 2, float((high - low).max()) / 2
    return flattened(photo.colour, place.views()[0], height, middle - half, middle + half)


def _cut_to(photo: Photo, place: Adjusted, height: float, traced: Traced) -> Flat:
    """Return the photograph corrected, as far as the thing and a margin reach."""
    box = traced.path.bounds().grown(0.08 * max(traced.path.bounds().width, traced.path.bounds().height))
    corners = np.array([(box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)])
    around = out_of_frame(corners, traced.frame)
    return flattened(photo.colour, place.views()[0], height, around.min(axis=0), around.max(axis=0))


def _rough(flat: Flat, place: Adjusted, asked: PhotographAsked, height: float) -> Floats:
    papers = _papers(place)
    view = place.views()[0]
    if asked.inside:
        seed = view.on_plane(np.array([asked.inside]), height)[0]
    else:
        seed = np.mean([paper.mean(axis=0) for paper in papers], axis=0)
    rough = view.on_plane(np.array(asked.rough), height) if len(asked.rough) >= 3 else None
    gap = min(float(np.hypot(*(paper - seed).T).min()) for paper in papers)
    return rough_outline(flat, papers, seed, rough, gap)


def _fitted(sights: Sequence[Sight], chain: Floats, *, hole: bool) -> tuple[Fit, Floats]:
    """Return the outline, first about the rough edge and then about itself."""
    points, out = stations(chain)
    way = -1.0 if hole else 1.0
    fit = None
    for low, high in BANDS_MM:
        reach = min(1.0, float(np.ptp(points, axis=0).min()) / 50)
        at = _edges(sights, points, way * out, low * reach, high * reach)
        found = np.isfinite(at)
        if found.mean() < 0.6:
            raise TraceError(
                "the edge is too faint to be followed all round",
                "lay the thing on plain ground of another brightness, in even light, with nothing over its edge",
            )
        edge = points[found] + (at[:, None] * way * out)[found]
        try:
            fit = fitted_outline(edge, max(0.08, 0.4 * px_mm(sights[0], edge)))
        except ValueError as error:
            raise TraceError(str(error), "lay the thing on plain ground, in even light, with its edge free") from None
        closer = np.array(fit.outline.corners).reshape(-1, 2)
        points, out = stations(np.array(fit.outline.path().points(0.02)), smooth=0.3, closer=closer, reach=CORNER_MM)
    if fit is None:
        raise AssertionError("there are two bands")
    return fit, edge


def _edges(sights: Sequence[Sight], points: Floats, out: Floats, low: float, high: float) -> Floats:
    """Return how far out of its station the edge lies, by all photographs together; nan where none shows it."""
    by_photo = []
    for sight in sights:
        taken = profiles(sight, points, out, low, high)
        by_photo.append(first_steps(taken, face_mm=0.3 * (high - low))[0])
    at = np.array(by_photo)
    if len(at) == 1:
        made: Floats = at[0]
        return made
    found = np.isfinite(at)
    middle = np.nanmedian(np.where(found.any(axis=0), at, 0.0), axis=0)
    near = found & (np.abs(at - middle) < AGREE_MM)
    total = np.where(near, at, 0.0).sum(axis=0) / np.maximum(near.sum(axis=0), 1)
    return np.where(near.sum(axis=0) >= (len(at) + 1) // 2, total, np.nan)
