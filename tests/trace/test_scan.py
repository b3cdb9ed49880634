"""A flat scan of a template: the printed line, scaled by a printed dimension on each axis."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from layout.trace.picture import photo_of
from layout.trace.result import TraceError, What
from layout.trace.scan import Known, from_scan
from tests.trace.paper import Scanner, scanned
from tests.trace.truth import SHAPES, deviation_mm

ASKEW = Scanner(across=1.002, up=0.9985, turn_deg=1.3)


@pytest.mark.parametrize("name", ["radio", "gauge", "slot"])
def test_two_dimensions_give_the_shape(name: str) -> None:
    """Within what is stated, and within a tenth of a millimetre, of a sheet that lay askew in an uneven scanner."""
    true = SHAPES[name]
    picture = photo_of("scan.png", scanned(true, ASKEW, np.random.default_rng(3)), dpi=(300.0, 300.0))
    box = true.bounds()
    traced = from_scan(picture, What.CUTOUT, across=Known(length_mm=box.width), up=Known(length_mm=box.height))
    error = deviation_mm(traced.path, true)
    assert error < 0.1
    assert error < traced.uncertainty_mm
    assert traced.for_cutting


def test_dots_alone_are_not_for_cutting() -> None:
    """By dots per inch alone at least 0.3 mm is stated, and it is said what is missing."""
    true = SHAPES["radio"]
    picture = photo_of("scan.png", scanned(true, ASKEW, np.random.default_rng(4)), dpi=(300.0, 300.0))
    traced = from_scan(picture, What.CUTOUT)
    assert traced.uncertainty_mm >= 0.3
    assert deviation_mm(traced.path, true) < traced.uncertainty_mm
    assert not traced.for_cutting
    assert "printed dimension" in traced.remarks[0]


def test_a_dimension_between_two_points() -> None:
    """A printed bar elsewhere on the sheet scales it as well as the shape's own size."""
    true = SHAPES["gauge"]
    scan = scanned(true, Scanner(), np.random.default_rng(5))
    middle = scan.shape[1] / 2, scan.shape[0] / 2
    half = 42.5 * 300 / 25.4
    known = Known(length_mm=85, ends_px=((middle[0] - half, middle[1]), (middle[0] + half, middle[1])))
    traced = from_scan(photo_of("scan.png", scan), What.CUTOUT, across=known, up=known)
    assert deviation_mm(traced.path, true) < 0.1


@pytest.mark.parametrize(
    ("shape", "words"),
    [("blank", "no closed shape"), ("open", "no closed shape"), ("cropped", "runs off"), ("noise", "closed|line|edge")],
)
def test_wrong_scans_are_refused(shape: str, words: str) -> None:
    """Each with a sentence that says what to do."""
    scan = np.full((900, 1200, 3), 245, np.uint8)
    if shape == "open":
        cv2.ellipse(scan, (600, 450), (300, 200), 0, 0, 300, (20, 20, 20), 4)
    elif shape == "cropped":
        cv2.rectangle(scan, (-10, 200), (700, 600), (20, 20, 20), -1)
    elif shape == "noise":
        scan = np.random.default_rng(1).integers(0, 255, scan.shape).astype(np.uint8)
    with pytest.raises(TraceError, match=words) as refused:
        from_scan(photo_of("scan.png", scan, dpi=(300.0, 300.0)), What.CUTOUT)
    assert refused.value.remedy


def test_nothing_tells_the_scale() -> None:
    """Without dimensions and without dots per inch there is no size."""
    scan = scanned(SHAPES["gauge"], Scanner(), np.random.default_rng(5))
    with pytest.raises(TraceError, match="scale"):
        from_scan(photo_of("scan.png", scan), What.CUTOUT)
