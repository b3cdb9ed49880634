"""Ten pairs drawn by hand, a tidy and an untidy arrangement of the same things: the measure ranks them as people do."""

from __future__ import annotations

import pytest

from layout.placing.place import place
from layout.placing.tidiness_measure import tidiness_of
from layout.project.model.arrangement import Arrangement
from tests.placing.projects import arrangement, device, disc, panel, project, wishes

Spots = dict[str, tuple[float, float]]
Sizes = dict[str, tuple[float, float]]

FOUR: Sizes = dict.fromkeys("abcd", (60, 40))
SIX: Sizes = dict.fromkeys("abcdef", (60, 40))
DISPLAY: Sizes = {"d": (160, 100), "a": (60, 60), "b": (60, 60)}
BLOCK: Sizes = {"p": (180, 120), "a": (50, 30), "b": (50, 30), "c": (50, 30)}
PANELS: Sizes = {"p": (120, 150), "q": (120, 150), "r": (100, 50)}

PAIRS: dict[str, tuple[Sizes, Spots, Spots]] = {
    "row of four": (
        FOUR,
        {"a": (80, 150), "b": (160, 150), "c": (240, 150), "d": (320, 150)},
        {"a": (80, 150), "b": (160, 153), "c": (240, 147), "d": (320, 158)},
    ),
    "equal gaps": (
        FOUR,
        {"a": (80, 150), "b": (160, 150), "c": (240, 150), "d": (320, 150)},
        {"a": (60, 150), "b": (140, 150), "c": (240, 150), "d": (325, 150)},
    ),
    "grid": (
        SIX,
        {"a": (100, 200), "b": (200, 200), "c": (300, 200), "d": (100, 100), "e": (200, 100), "f": (300, 100)},
        {"a": (100, 200), "b": (190, 205), "c": (300, 190), "d": (120, 100), "e": (215, 110), "f": (310, 95)},
    ),
    "column by its left edge": (
        {"a": (120, 40), "b": (80, 40), "c": (100, 40), "d": (60, 40)},
        {"a": (160, 240), "b": (140, 180), "c": (150, 120), "d": (130, 60)},
        {"a": (160, 240), "b": (148, 180), "c": (140, 120), "d": (155, 60)},
    ),
    "display in the middle": (
        DISPLAY,
        {"d": (200, 150), "a": (70, 150), "b": (330, 150)},
        {"d": (230, 160), "a": (70, 145), "b": (360, 110)},
    ),
    "display over its keys": (
        {**DISPLAY, "c": (60, 60)},
        {"d": (200, 200), "a": (120, 80), "b": (200, 80), "c": (280, 80)},
        {"d": (200, 200), "a": (110, 86), "b": (200, 80), "c": (275, 92)},
    ),
    "breakers and switches on the same edges": (
        BLOCK,
        {"p": (200, 190), "a": (135, 90), "b": (200, 90), "c": (265, 90)},
        {"p": (200, 190), "a": (128, 94), "b": (190, 90), "c": (268, 83)},
    ),
    "two panels with a radio between": (
        PANELS,
        {"p": (80, 150), "q": (320, 150), "r": (200, 150)},
        {"p": (80, 150), "q": (320, 138), "r": (190, 170)},
    ),
    "mirrored about the panel": (
        FOUR,
        {"a": (60, 220), "b": (340, 220), "c": (60, 80), "d": (340, 80)},
        {"a": (60, 220), "b": (330, 212), "c": (75, 80), "d": (340, 90)},
    ),
    "island": (
        FOUR,
        {"a": (120, 180), "b": (200, 180), "c": (280, 180), "d": (200, 120)},
        {"a": (120, 180), "b": (200, 180), "c": (280, 180), "d": (353, 47)},
    ),
}


@pytest.mark.parametrize("name", PAIRS)
def test_the_tidy_one_of_each_pair_is_ranked_so(name: str) -> None:
    """The measure calls the arrangement tidier that its drawer meant to be."""
    sizes, tidy, untidy = PAIRS[name]
    made = project(*(device(key, *size) for key, size in sizes.items()))
    ranked = [tidiness_of(made, arrangement(**spots)).untidiness for spots in (tidy, untidy)]
    assert ranked[0] < ranked[1]


@pytest.mark.parametrize("name", PAIRS)
def test_the_wish_ranks_them_so_too(name: str) -> None:
    """What the solver is asked to make small is smaller for the tidy one: the engine wants what people want."""
    from layout.placing.engine import recount
    from layout.placing.formulation import Formulation
    from layout.project.model.wishes import Wish

    sizes, tidy, untidy = PAIRS[name]
    made = project(*(device(key, *size) for key, size in sizes.items()), wishes=wishes(Wish(wish="tidy")))
    stated = Formulation(project=made, held={})
    costs = [
        recount.value(stated.safe_problem, stated.safe.positions(arrangement(**spots).placed))
        for spots in (tidy, untidy)
    ]
    assert costs[0] < costs[1]


def test_measures_of_a_known_layout() -> None:
    """Counted by hand: three equal ones in a row about the middle need one level and three upright lines."""
    made = project(*(device(key) for key in "abc"))
    found = tidiness_of(made, arrangement(a=(100, 150), b=(200, 150), c=(300, 150)))
    assert (found.upright, found.level, found.uneven, found.symmetry) == (3, 1, 0, 1.0)


def test_round_ones_line_up_by_their_middles() -> None:
    """Round things of different sizes on one low edge share no line; on one middle they do."""
    made = project(device("a", face=disc(60)), device("b", face=disc(40)))
    assert tidiness_of(made, arrangement(a=(100, 80), b=(200, 70))).level == 2
    assert tidiness_of(made, arrangement(a=(100, 80), b=(200, 80))).level == 1


def test_the_preset_gives_tidy_arrangements() -> None:
    """Seven things placed with the tidy preset need fewer lines than placed without it."""
    sizes = {"a": (120, 80), "b": (60, 40), "c": (60, 40), "d": (60, 40), "e": (90, 60), "f": (40, 40), "g": (40, 40)}
    devices = [device(key, *size) for key, size in sizes.items()]
    measured = []
    for preset in (None, "tidy"):
        found = place(project(*devices, panels=(panel(),), wishes=wishes(preset=preset))).arrangement
        assert isinstance(found, Arrangement)
        measured.append(tidiness_of(project(*devices), found))
    plain, tidy = measured
    assert tidy.untidiness < plain.untidiness - 4
    assert tidy.upright + tidy.level <= 8
