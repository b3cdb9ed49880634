"""From a fit in the measured plane to a result in the frame of the thing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.trace.frame import in_frame, traced_frame
from layout.trace.result import Traced, radius_of

if TYPE_CHECKING:
    from layout.trace.arrays import Floats
    from layout.trace.fit import Fit
    from layout.trace.result import What

_SHARED_POINTS = 6.0
"""So many neighbouring edge points err together; a radius is that much less sure (square root)."""


def finished(
    fit: Fit,
    points: Floats,
    what: What,
    *,
    uncertainty_mm: float,
    edge_sd_mm: float,
    for_cutting: bool,
    remarks: tuple[str, ...] = (),
) -> Traced:
    """Return the result of a fit.

    Parameters
    ----------
    points
        The edge points of the fit, in the measured plane.
    edge_sd_mm
        By how much the whole edge may lie too far out or in (one standard deviation); it goes into every radius.
    """
    frame = traced_frame(fit.outline, what)
    outline = fit.outline.turned(frame.turn_deg).moved(frame.dx_mm, frame.dy_mm)
    values = (outline.round[2],) if outline.round else tuple(radius for radius in outline.radii if radius is not None)
    sds = (math.hypot(sd * math.sqrt(_SHARED_POINTS), edge_sd_mm) for sd in fit.radius_sd_mm())
    return Traced(
        what=what,
        outline=outline,
        path=outline.path(),
        uncertainty_mm=uncertainty_mm,
        radii=tuple(radius_of(radius, sd) for radius, sd in zip(values, sds, strict=True)),
        for_cutting=for_cutting,
        frame=frame,
        edge_mm=in_frame(points, frame),
        off_mm=fit.off_mm,
        remarks=remarks,
    )
