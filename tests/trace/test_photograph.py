"""Photographs with marks: the shape with its stated error, and a sentence for each picture that does not bear one."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
import pytest

from layout.trace.camera import CameraView, turn_of
from layout.trace.photograph import PhotographAsked, from_photographs
from layout.trace.picture import photo_of
from layout.trace.result import Traced, TraceError, What
from tests.trace.random_scenes import a_scene
from tests.trace.scene import Camera, Scene, Spoil, photographed
from tests.trace.truth import deviation_mm

WIDTH = 1800
SEEDS = {False: 11, True: 8}


@cache
def scene(*, hole: bool = False) -> Scene:
    """Return a panel, or a hole, with four sheets."""
    return a_scene(np.random.default_rng(SEEDS[hole]), hole=hole, width=WIDTH)


@cache
def picture(*, hole: bool = False) -> np.ndarray:
    """Return its photograph."""
    made = scene(hole=hole)
    return photographed(made, made.cameras[0], Spoil(), np.random.default_rng(SEEDS[hole]))


def asked(made: Scene, **other: object) -> PhotographAsked:
    """Return what the user is asked, answered well."""
    answers = {
        "what": What.CUTOUT if made.hole else What.OUTLINE, "above_mm": made.edge_mm,
        "tape": (1, 2, made.distance_mm(1, 2)),
    }  # fmt: skip
    return PhotographAsked(**(answers | other))


def traced(image: np.ndarray, of: PhotographAsked) -> Traced:
    """Trace one photograph that says its focal length."""
    return from_photographs([photo_of("p.jpg", image, focal_px=scene().cameras[0].focal_px)], of).traced


@cache
def result(*, hole: bool = False) -> Traced:
    """Return what tracing gives when all is answered well; the file's focal length is two per cent off."""
    made = scene(hole=hole)
    photo = photo_of("p.jpg", picture(hole=hole), focal_px=made.cameras[0].focal_px * 1.02)
    return from_photographs([photo], asked(made)).traced


@pytest.mark.parametrize("hole", [False, True])
def test_shape_within_what_is_stated(hole: bool) -> None:
    """The outline lies within the stated uncertainty, which is at most 1.5 mm even in a small picture."""
    found = result(hole=hole)
    assert deviation_mm(found.path, scene(hole=hole).path) < found.uncertainty_mm < 1.5
    assert found.for_cutting


def test_without_answers_it_is_not_for_cutting() -> None:
    """Nothing is assumed: the result says what is missing, states far more, and the error it makes lies within."""
    blind = traced(picture(), asked(scene(), above_mm=None, tape=None))
    assert not blind.for_cutting
    assert "above the marks" in blind.remarks[0]
    assert "taped" in blind.remarks[1]
    assert blind.uncertainty_mm > 3 * result().uncertainty_mm
    assert deviation_mm(blind.path, scene().path) < blind.uncertainty_mm


def test_marks_of_another_size_are_found_out_by_the_tape() -> None:
    """A print that was fitted to the page is refused; a true one with the same tape is not."""
    made = scene()
    first, second, length = asked(made).tape
    with pytest.raises(TraceError, match="of their size off") as refused:
        traced(picture(), asked(made, tape=(first, second, length * 0.97)))
    assert "100 %" in refused.value.remedy
    with pytest.raises(TraceError, match="not seen"):
        traced(picture(), asked(made, tape=(1, 6, length)))


def one_sheet() -> np.ndarray:
    """Return the picture with all sheets but one painted over."""
    made, image = scene(), picture().copy()
    for sheet in made.sheets[1:]:
        corners = made.cameras[0].seen(sheet.at(np.array([(-110, -152), (110, -152), (110, 152), (-110, 152)])))
        cv2.fillConvexPoly(image, np.round(corners).astype(np.int32), (60, 60, 60))
    return image


WRONG = {
    "no marks are found": lambda: np.full((900, 1200, 3), 120, np.uint8),
    "fewer than two whole sheets": one_sheet,
    "no marks are found|blurred": lambda: cv2.GaussianBlur(picture(), (0, 0), 9),
    "blurred": lambda: cv2.GaussianBlur(picture(), (0, 0), 3.2),
    "runs off|fewer than two|faint": lambda: picture()[:, : WIDTH // 2],
    "no marks are found|fewer": lambda: np.random.default_rng(1).integers(0, 255, (900, 1200, 3)).astype(np.uint8),
    "no marks are found|fewer than": lambda: picture()[:, ::-1],
}


@pytest.mark.parametrize("words", sorted(WRONG))
def test_wrong_pictures_are_refused(words: str) -> None:
    """Each with a sentence that says what to do better."""
    with pytest.raises(TraceError, match=words) as refused:
        traced(np.ascontiguousarray(WRONG[words]()), asked(scene()))
    assert refused.value.remedy


def test_a_photograph_of_a_screen_is_refused() -> None:
    """A picture of a picture, taken from the side, does not look as the camera would show the marks themselves."""
    corners = np.float32([(0, 0), (WIDTH, 0), (WIDTH, WIDTH * 3 / 4), (0, WIDTH * 3 / 4)])
    seen = np.float32([(60, 90), (WIDTH - 30, 20), (WIDTH - 80, WIDTH * 3 / 4 - 60), (20, WIDTH * 3 / 4 - 200)])
    again = cv2.warpPerspective(picture(), cv2.getPerspectiveTransform(corners, seen), (WIDTH, WIDTH * 3 // 4))
    with pytest.raises(TraceError, match=r"screen|flat sheets|size off"):
        traced(again, asked(scene()))


def test_camera_agrees_with_another_library() -> None:
    """Projection is that of OpenCV, and going back to the plane undoes it."""
    bend = (-0.04, 0.02, -0.01)
    view = CameraView(1200.0, (640.5, 470.0), bend, turn_of(np.array([3.0, 0.2, -0.1])), np.array([30.0, -20.0, 900.0]))
    other = Camera(
        width=1280, height=960, focal_px=1200.0, centre=(640.5, 470.0), bend=bend, turn=view.turn, shift=view.shift
    )
    points = np.column_stack([np.random.default_rng(2).uniform(-300, 300, (50, 2)), np.full(50, 12.0)])
    assert view.seen(points) == pytest.approx(other.seen(points), abs=1e-6)
    assert view.on_plane(view.seen(points), 12.0) == pytest.approx(points[:, :2], abs=1e-6)


def test_photographs_of_two_sizes_are_refused() -> None:
    """One camera, one way up: what is held in common must be common."""
    small = cv2.resize(picture(), None, fx=0.75, fy=0.75, interpolation=cv2.INTER_AREA)
    with pytest.raises(TraceError, match="different sizes"):
        from_photographs([photo_of("a", picture()), photo_of("b", small)], asked(scene()))
