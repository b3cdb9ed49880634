"""Parts of a problem that don't hang together are solved alone, and the whole is their sum."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.by_components import Effort, solve_components
from layout.placing.components import components_of
from layout.placing.formulation import Formulation
from layout.placing.place import place
from layout.project.model.rules import Relation, Rules
from layout.project.model.wishes import Wish
from tests.placing.projects import device, panel, project, wishes

if TYPE_CHECKING:
    from layout.placing.engine.stage_result import Progress

LEFT = [device("a", panel=("left",)), device("b", panel=("left",))]
RIGHT = [device("c", panel=("right",))]
PANELS = (panel(id="left"), panel(id="right"))
CORNER = wishes(Wish(wish="near corner", corner="bottom left"))


def test_panels_that_share_nothing_are_parts() -> None:
    """Two panels without a common device, rule or wish are two parts, the smaller first."""
    posed = Formulation(project=project(*LEFT, *RIGHT, panels=PANELS, wishes=CORNER), held={})
    assert [part.items for part in components_of(posed.safe_problem)] == [(2,), (0, 1)]


def test_a_wish_across_panels_ties_them() -> None:
    """A device that is wished near one on another panel belongs to the same part."""
    near = wishes(Wish(wish="near device", to="a", devices=("c",)))
    posed = Formulation(project=project(*LEFT, *RIGHT, panels=PANELS, wishes=near), held={})
    assert len(components_of(posed.safe_problem)) == 1


def test_whole_is_the_sum_of_its_parts() -> None:
    """Value, bound and positions of two panels together are those of each alone."""
    both = place(project(*LEFT, *RIGHT, panels=PANELS, wishes=CORNER), effort=Effort.THOROUGH).arrangement
    left = place(project(*LEFT, panels=PANELS[:1], wishes=CORNER), effort=Effort.THOROUGH).arrangement
    right = place(project(*RIGHT, panels=PANELS[1:], wishes=CORNER), effort=Effort.THOROUGH).arrangement
    assert both is not None
    assert left is not None
    assert right is not None
    assert both.value == left.value + right.value
    assert both.placed == {**left.placed, **right.placed}
    assert both.proof == "optimal"


def test_one_part_that_can_not_be_makes_the_whole_impossible() -> None:
    """Where one panel is proven not to take its devices, the whole is; the other panel's devices are shown in place."""
    bound = Rules(relations=(Relation(left_to_right=tuple("abdefgh")),))
    wide = [device(key, panel=("left",)) for key in "abdefgh"]
    placing = place(project(*wide, *RIGHT, panels=PANELS, rules=bound), effort=Effort.QUICK)
    assert placing.infeasible


def test_progress_is_told_of_the_whole() -> None:
    """Every picture that is told of shows all parts, from the first on, and never a worse one after a better."""
    both = project(*LEFT, *RIGHT, panels=PANELS, wishes=CORNER)
    told: list[Progress] = []
    place(both, effort=Effort.QUICK, progress=lambda now: bool(told.append(now)))
    assert told[0].stage == "first"
    assert all(now.arrangement is not None and len(now.arrangement.positions) == 3 for now in told)
    values = [now.value or 0 for now in told]
    assert values == sorted(values, reverse=True)


def test_stopping_keeps_the_best_and_finishes_the_rest_shortly() -> None:
    """A stop during the first part still gives an arrangement of both."""
    posed = Formulation(project=project(*LEFT, *RIGHT, panels=PANELS, wishes=CORNER), held={})
    asked = []

    def stop() -> bool:
        asked.append(None)
        return len(asked) > 2

    found = solve_components(posed.safe_problem, posed.for_bounds, limit=Effort.QUICK.limit, seed=1, stop=stop)
    assert found.interrupted
    assert found.positions is not None


def test_each_improvement_is_shown_whole() -> None:
    """Two panels that share nothing: every picture has the devices of both, and the last is the arrangement found."""
    both = project(device("a"), device("b", panel=("other",)), panels=(panel(), panel(id="other")))
    pictures: list[dict[str, tuple[float, float]]] = []
    placing = place(
        both, effort=Effort.QUICK, shown=lambda at: pictures.append({name: (one.x, one.y) for name, one in at.items()})
    )
    assert pictures
    assert all(set(picture) == {"a", "b"} for picture in pictures)
    assert placing.arrangement is not None
    assert pictures[-1] == {name: (one.x, one.y) for name, one in placing.arrangement.placed.items()}
