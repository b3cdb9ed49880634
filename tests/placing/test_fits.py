"""Where one more device fits, with and without moves; and the blanks that are left."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.placing.blanks import free_rectangles
from layout.placing.fits import fits, of_size
from layout.placing.judge import judge, refusals
from layout.project.model.panel import Layer
from tests.placing.projects import arrangement, device, gauge, panel, project

TWO = project(device("a", 160, 260), device("b", 60, 40))
"""On 400 x 300 mm: a tall device at the left, a small one that stands in the way of a large one."""

IN_THE_WAY = arrangement(a=(95.0, 150.0), b=(290.0, 150.0))


def test_spot_is_judged_and_moves_nothing() -> None:
    """A small device fits without moves, at a place that the judge passes with the rest as it stands."""
    found = fits(TWO, IN_THE_WAY, of_size(TWO, 60, 60))
    assert found.spots
    spot = found.spots[0].placed
    more = replace(TWO, devices={**TWO.devices, found.device.id: found.device})
    assert not refusals(judge(more, replace(IN_THE_WAY, placed={**IN_THE_WAY.placed, spot.device: spot})))
    assert found.spots[0].x0 <= spot.x <= found.spots[0].x1


def test_every_place_of_a_spot_s_corners_is_the_last_that_fits() -> None:
    """One step past the area's right side the device is too near the panel's edge."""
    found = fits(TWO, IN_THE_WAY, of_size(TWO, 60, 60))
    assert max(spot.x1 for spot in found.spots) == 400 - 20 - 30
    assert max(spot.y1 for spot in found.spots) == 300 - 20 - 30


def test_fewest_moves_are_proven() -> None:
    """A device that only fits when the small one moves gets an arrangement in which just that one moves."""
    found = fits(TWO, IN_THE_WAY, of_size(TWO, 170, 170))
    assert not found.spots
    assert tuple(found.movers) == ("b",)
    assert found.fewest
    assert found.moved is not None
    assert found.moved.placed["a"] == IN_THE_WAY.placed["a"]


def test_what_fits_nowhere_is_said_so() -> None:
    """A device larger than what is left even with moves is refused in words."""
    found = fits(TWO, IN_THE_WAY, of_size(TWO, 300, 280))
    assert found.spots == ()
    assert found.moved is None
    assert found.findings[0].rule == "fit 13"


def test_cut_holes_do_not_move_for_one_more() -> None:
    """A device whose hole is cut is not among those that may move."""
    cut = project(device("a", 160, 260), device("b", 60, 40, work_state="cut"))
    assert fits(cut, IN_THE_WAY, of_size(cut, 170, 170)).moved is None


def test_id_must_be_new() -> None:
    """A device that the project has already can't be one more."""
    with pytest.raises(ValueError, match="'a' already"):
        fits(TWO, IN_THE_WAY, device("a"))


def test_largest_blank_is_what_is_left_beside() -> None:
    """On an empty half of a panel the largest free rectangle of each layer is that half, to the millimetre."""
    one = project(device("a", 200, 300, cutout=(), mount="surface", behind=()), panels=(panel(),))
    found = free_rectangles(one, arrangement(a=(100.0, 150.0)))
    by_layer = {rect.layer: rect for rect in reversed(found)}
    front = by_layer[Layer.FRONT]
    assert (front.x0, front.y0, front.x1, front.y1) == (200.0, 0.0, 400.0, 300.0)
    assert (by_layer[Layer.SHEET].width, by_layer[Layer.REAR].width) == (400.0, 400.0)


def test_blanks_do_not_overlap_what_stands_there() -> None:
    """Free rectangles of a layer overlap neither a round face nor each other."""
    one = project(gauge("a", 100), panels=(panel(),))
    front = [rect for rect in free_rectangles(one, arrangement(a=(150.0, 150.0))) if rect.layer is Layer.FRONT]
    assert len(front) == 3
    for k, rect in enumerate(front):
        dx = max(rect.x0 - 150, 150 - rect.x1, 0.0)
        dy = max(rect.y0 - 150, 150 - rect.y1, 0.0)
        assert dx * dx + dy * dy >= 50**2 - 1e-3
        assert all(
            rect.x1 <= other.x0 or other.x1 <= rect.x0 or rect.y1 <= other.y0 or other.y1 <= rect.y0
            for other in front[:k]
        )
