"""One least squares over all photographs: where cameras and sheets stand, how the camera draws, how large the print is.

Every nuisance is a parameter with a prior, so that its share of the error comes out in the covariance.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, final

import numpy as np
from scipy.optimize import least_squares

from layout.light_dataclass import dataclass
from layout.trace.camera import CameraView, turn_of
from layout.trace.marks import MARK_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.trace.arrays import Floats
    from layout.trace.find import Seen

BOW_MM, BOW_SD_MM = 0.5, 0.8
"""A taped sheet stands off in its middle by so much; measured on none, a guess of the prototype."""
PAPER_HALF_MM = (105.0, 148.5)
PRINT_SD, ACROSS_UP_SD = 0.0012, 0.0005
"""A printer's scale, and its difference between the axes (one standard deviation, common practice)."""
INK_SD_MM = 0.08
"""How far ink and exposure move the edges of marks."""
TAPE_SD_MM = 0.5
"""Reading a tape between two crosses."""
FOCAL_SD, FOCAL_UNKNOWN_SD, REFOCUS_SD = 0.03, 0.2, 0.002
"""Focal length by the file's own word, without one, and from one photograph to the next."""
CENTRE_SD = 0.005
"""Optical centre, as a share of the picture's longer side."""
BEND_SD = (0.06, 0.06, 0.03)
CORNER_SD_PX = 0.15
"""A corner of a mark to begin with; the residuals then tell."""
LEAST_SD_PX = 0.08

_SHARED, PRINTED = 6, 3
"""Numbers of the camera (focal, centre, bend), and of the print (scale, across over up, ink)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """What was found in one photograph."""

    seen: tuple[Seen, ...]
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Where the adjustment begins.

    Attributes
    ----------
    focal_px, focal_sd
        Focal length and its relative standard deviation.
    sheets
        By number: x, y and turn in the plane of the first one.
    poses
        For each photograph turn vector and shift.
    """

    focal_px: float
    focal_sd: float
    sheets: dict[int, tuple[float, float, float]]
    poses: tuple[tuple[Floats, Floats], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjusted:
    """The outcome.

    Attributes
    ----------
    numbers, spread
        All parameters, and their covariance.
    rms_px
        How far the corners of marks lie from where they should, each axis.
    tape_off
        By what share the tape disagrees with marks of nominal size; 0 without a tape.
    """

    model: _Model
    numbers: Floats
    spread: Floats
    rms_px: float
    cost: float
    tape_off: float

    def views(self, numbers: Floats | None = None) -> tuple[CameraView, ...]:
        """Return the cameras, by these or other numbers."""
        return self.model.views(self.numbers if numbers is None else numbers)

    def drawn(self, count: int, seed: int = 1) -> Floats:
        """Return ``count`` draws of the parameters from their covariance, the same every time."""
        values, axes = np.linalg.eigh(self.spread)
        normal = np.random.default_rng(seed).standard_normal((count, len(values)))
        made: Floats = self.numbers + (normal * np.sqrt(np.maximum(values, 0))) @ axes.T
        return made


@final
class _Model:
    """What the parameters mean, in their order: camera, print, sheets but the first, bows, photographs."""

    def __init__(self, shots: tuple[Shot, ...], start: Start, tape: tuple[int, int, float] | None) -> None:
        self.shots = shots
        self.start = start
        self.tape = tape
        self.numbers_of = sorted(start.sheets)
        self.at_sheets = _SHARED + PRINTED
        self.at_bows = self.at_sheets + 3 * (len(self.numbers_of) - 1)
        self.at_poses = self.at_bows + 2 * len(self.numbers_of)
        self.size = self.at_poses + 7 * len(shots)
        corners = np.array([(-1, 1), (1, 1), (1, -1), (-1, -1)], np.float64) * MARK_MM / 2
        self.rows = []
        for shot in shots:
            seen = [one for one in shot.seen if one.mark.sheet in start.sheets]
            self.rows.append(
                (
                    [self.numbers_of.index(one.mark.sheet) for one in seen for _ in range(4)],
                    np.repeat(np.array([one.mark.middle for one in seen]), 4, axis=0),
                    np.tile(corners, (len(seen), 1)),
                    np.vstack([one.corners for one in seen]),
                )
            )
        self.prior_mean, self.prior_sd = self._priors()

    def _priors(self) -> tuple[Floats, Floats]:
        long_px = max(self.shots[0].width, self.shots[0].height)
        mean, sd = np.zeros(self.size), np.full(self.size, np.inf)
        sd[:_SHARED] = [self.start.focal_sd, CENTRE_SD * long_px, CENTRE_SD * long_px, *BEND_SD]
        sd[_SHARED : _SHARED + PRINTED] = [PRINT_SD, ACROSS_UP_SD, INK_SD_MM]
        mean[self.at_bows : self.at_poses] = BOW_MM
        sd[self.at_bows : self.at_poses] = BOW_SD_MM
        sd[self.at_poses + 6 :: 7] = REFOCUS_SD if len(self.shots) > 1 else 1e-6
        return mean, sd

    def first(self) -> Floats:
        """Return the parameters to begin with."""
        numbers = self.prior_mean.copy()
        for k, number in enumerate(self.numbers_of[1:]):
            numbers[self.at_sheets + 3 * k : self.at_sheets + 3 * k + 3] = self.start.sheets[number]
        for k, (turn, shift) in enumerate(self.start.poses):
            numbers[self.at_poses + 7 * k : self.at_poses + 7 * k + 6] = [*turn, *shift]
        return numbers

    def views(self, numbers: Floats) -> tuple[CameraView, ...]:
        """Return the camera of each photograph."""
        focal = self.start.focal_px * np.exp(numbers[0])
        bend = (float(numbers[3]), float(numbers[4]), float(numbers[5]))
        made = []
        for k, shot in enumerate(self.shots):
            pose = numbers[self.at_poses + 7 * k : self.at_poses + 7 * k + 7]
            centre = (shot.width / 2 - 0.5 + numbers[1], shot.height / 2 - 0.5 + numbers[2])
            made.append(CameraView(float(focal * np.exp(pose[6])), centre, bend, turn_of(pose[:3]), pose[3:6]))
        return tuple(made)

    def points(self, numbers: Floats, sheet: Sequence[int], middle: Floats, corner: Floats) -> Floats:
        """Return points of sheets in space: marks' middles and corners, scaled as printed, bowed and laid down."""
        scale = 1 + numbers[_SHARED] + np.array([0.5, -0.5]) * numbers[_SHARED + 1]
        local = (middle + corner * (1 + 2 * numbers[_SHARED + 2] / MARK_MM)) * scale
        lying = np.vstack([np.zeros(3), numbers[self.at_sheets : self.at_bows].reshape(-1, 3)])[sheet]
        bows = numbers[self.at_bows : self.at_poses].reshape(-1, 2)[sheet]
        up = (bows * (1 - (local / np.array(PAPER_HALF_MM)) ** 2)).sum(axis=1)
        c, s = np.cos(lying[:, 2]), np.sin(lying[:, 2])
        x = c * local[:, 0] - s * local[:, 1] + lying[:, 0]
        y = s * local[:, 0] + c * local[:, 1] + lying[:, 1]
        return np.column_stack([x, y, up])

    def crosses(self, numbers: Floats) -> dict[int, Floats]:
        """Return the middle of every sheet in space."""
        count = len(self.numbers_of)
        zero = np.zeros((count, 2))
        at = self.points(numbers, list(range(count)), zero, zero)
        return dict(zip(self.numbers_of, at, strict=True))

    def corners_off(self, numbers: Floats) -> Floats:
        """Return how far corners of marks lie from where they should, pixels."""
        parts = []
        for view, (sheet, middle, corner, seen) in zip(self.views(numbers), self.rows, strict=True):
            parts.append((view.seen(self.points(numbers, sheet, middle, corner)) - seen).ravel())
        return np.concatenate(parts)

    def others_off(self, numbers: Floats) -> Floats:
        """Return priors and tape in units of their standard deviation."""
        off = ((numbers - self.prior_mean) / self.prior_sd)[np.isfinite(self.prior_sd)]
        if self.tape:
            at = self.crosses(numbers)
            length = float(np.linalg.norm(at[self.tape[0]] - at[self.tape[1]]))
            off = np.append(off, (length - self.tape[2]) / TAPE_SD_MM)
        return off


def adjusted(shots: tuple[Shot, ...], start: Start, tape: tuple[int, int, float] | None) -> Adjusted:
    """Return the best parameters with their covariance."""
    model = _Model(shots, start, tape)
    numbers, sd = model.first(), CORNER_SD_PX
    for _ in range(2):

        def off(at: Floats, sd: float = sd) -> Floats:
            return np.concatenate([_tame(model.corners_off(at) / sd), model.others_off(at)])

        found = least_squares(off, numbers, x_scale="jac", max_nfev=40, xtol=1e-9, ftol=1e-9)
        numbers = found.x
        rms = float(np.sqrt(np.mean(_tame(model.corners_off(numbers) / sd) ** 2))) * sd
        sd = max(LEAST_SD_PX, rms)
    jacobian = found.jac
    spread = np.linalg.pinv(jacobian.T @ jacobian, rcond=1e-14)
    return Adjusted(
        model=model,
        numbers=numbers,
        spread=spread,
        rms_px=float(np.sqrt(np.mean(model.corners_off(numbers) ** 2))),
        cost=float(2 * found.cost),
        tape_off=_tape_off(model, numbers),
    )


def _tame(off: Floats) -> Floats:
    """Return deviations with those beyond four standard deviations held back."""
    return np.sign(off) * np.where(np.abs(off) > 4, 4 * np.sqrt(np.maximum(np.abs(off) / 2 - 1, 1e-9)), np.abs(off))


def _tape_off(model: _Model, numbers: Floats) -> float:
    if not model.tape:
        return 0.0
    at = model.crosses(numbers)
    by_marks = float(np.linalg.norm(at[model.tape[0]] - at[model.tape[1]])) / (1 + float(numbers[_SHARED]))
    return model.tape[2] / by_marks - 1
