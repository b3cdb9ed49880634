"""A body goes through its own cut-out, or the sheet is not cut."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.drawing.template.template_findings import template_findings
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Behind, Device
from layout.project.model.panel import Panel, SizeFrom
from layout.project.model.project import Project, TitleBlock
from layout.project.model.shape import Shape, Tolerance


def rules(cutout: tuple[Shape, ...], body: Shape, **more: object) -> list[str]:
    """Return what is found about one device on a board."""
    device = Device(
        id="one", panel=("board",), face=Shape(rect=(80, 80)), cutout=cutout, behind=(Behind(shape=body, depth=40),),
        **{"size_from": SizeFrom.MEASURED, **more},
    )  # fmt: skip
    project = Project(
        spile=1, project=TitleBlock(name="x"), devices={"one": device},
        panels={"board": Panel(id="board", outline=Shape(rect=(200, 200)), thickness=6, material="plywood", depth=90)},
    )  # fmt: skip
    placed = Arrangement(placed={"one": Placed(device="one", panel="board", x=100, y=100)})
    return [finding.rule for finding in template_findings(project, placed)]


ROUND = (Shape(circle=18),)


@pytest.mark.parametrize(
    ("cutout", "body", "wrong"),
    [
        (ROUND, Shape(circle=18), False),
        (ROUND, Shape(circle=18.1), True),
        ((Shape(rect=(60, 40), radius=5),), Shape(rect=(60, 40)), False),  # its corners may be as round
        ((Shape(rect=(60, 40), radius=5),), Shape(rect=(60.2, 40)), True),
        ((Shape(circle=20), Shape(rect=(4, 24))), Shape(rect=(3.9, 23.9)), False),  # the key of a keyed hole
        ((Shape(circle=20), Shape(rect=(4, 24))), Shape(rect=(6, 23.9)), True),
    ],
)
def test_what_does_not_pass_is_an_error(cutout, body, wrong):
    """Just passing is passing; a tenth too much is an error, whatever the cut-out is made of."""
    assert ("cut 6" in rules(cutout, body)) is wrong


def test_tolerance_counts_and_the_rear_is_another_way_in():
    """The hole's own plus tolerance lets a body pass; one that is fitted from behind need not pass at all."""
    assert "cut 6" not in rules(ROUND, Shape(circle=18.1), cutout_tolerance=Tolerance(plus=0.2))
    assert "cut 6" not in rules(ROUND, Shape(circle=40), fitted_from="rear")


def test_how_unsure_a_traced_size_is_leaves_no_room():
    """The tolerance of a traced cut-out is no room for the body; one that just passes still does."""
    traced = {"cutout_tolerance": Tolerance(plus=0.6, minus=0.6), "size_from": SizeFrom.TRACED}
    assert "cut 6" in rules(ROUND, Shape(circle=18.1), **traced)
    assert "cut 6" not in rules(ROUND, Shape(circle=18), **traced)


def test_a_body_in_a_turned_device_turns_with_it():
    """Turning a device turns body and cut-out alike."""
    assert "cut 6" not in rules((Shape(rect=(60, 40), turn=30),), Shape(rect=(60, 40), turn=30))
    assert "cut 6" in rules((Shape(rect=(60, 40), turn=30),), Shape(rect=(60, 40)))
    assert replace(Shape(rect=(60, 40)), turn=30).turn == 30
