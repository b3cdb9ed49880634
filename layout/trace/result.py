"""What a picture gave: the path, how far it can be trusted, and what to know before it is cut."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.geometry.path import Path
    from layout.trace.arrays import Floats
    from layout.trace.outline import Outline


class What(StrEnum):
    """What is traced, by the key of the project file it becomes."""

    OUTLINE = "outline"
    CUTOUT = "cutout"
    NO_GO = "no_go"


class TraceError(Exception):
    """A picture that can't be used, or an answer that does not fit it.

    Attributes
    ----------
    message
        What is wrong, in a sentence that stands alone.
    remedy
        What to do better.
    """

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(f"{message}; {remedy}")
        self.message = message
        self.remedy = remedy


@dataclass(frozen=True, slots=True, kw_only=True)
class Radius:
    """One rounded corner or circle as measured, mm; ``within_mm`` holds with 95 %."""

    radius_mm: float
    within_mm: float
    round_mm: float | None
    """The value of a usual series that lies nearest, if it is within; what the maker most likely meant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedFrame:
    """How the measured plane came to the project's coordinates: turned about its origin, then shifted."""

    turn_deg: float
    dx_mm: float
    dy_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """A shape from a picture.

    Attributes
    ----------
    outline, path
        The shape in its owner's frame (:func:`layout.trace.frame.framed`), as numbers and as a path.
    uncertainty_mm
        With 95 % no place of the outline is farther off than this, once it is laid over the truth.
    for_cutting
        False where something that decides the size was not told.
    frame
        From the measured plane to the owner's frame.
    edge_mm, off_mm
        The edge points in the owner's frame, and how far each lies outside the outline.
    remarks
        What to know, in sentences.
    """

    what: What
    outline: Outline
    path: Path
    uncertainty_mm: float
    radii: tuple[Radius, ...]
    for_cutting: bool
    frame: TracedFrame
    edge_mm: Floats
    off_mm: Floats
    remarks: tuple[str, ...] = ()


USUAL_RADII_MM = (
    1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 16.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0,
    100.0,
)  # fmt: skip
"""Radii that people choose; common practice, no single source."""


def radius_of(radius_mm: float, sd_mm: float) -> Radius:
    """Return a radius with its 95 % and the usual value beside it."""
    within = 2 * sd_mm
    nearest = min(USUAL_RADII_MM, key=lambda usual: abs(usual - radius_mm))
    return Radius(
        radius_mm=radius_mm, within_mm=within, round_mm=nearest if abs(nearest - radius_mm) <= within else None
    )
