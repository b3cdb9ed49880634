"""Why a project does not fit: the real cause is named, and every change that is offered has been tried."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.placing.by_components import Effort
from layout.placing.explain import explain
from layout.placing.explain.leaving import devices_named, only, panels_alone, panels_together, rules_of
from layout.placing.explain.stretch import deeper, stretched
from layout.placing.fullness import FULL, area_words, fullness_of
from layout.placing.judge import judge, refusals
from layout.placing.place import place
from layout.project.model.device import Behind, Pin
from layout.project.model.panel import CableExit, DepthStep, NoGo, OldHole, Reserved
from layout.project.model.rules import ApartRule, Relation, Rules
from layout.project.model.shape import Shape
from tests.conftest import FULL as EVERY
from tests.placing.overfull import overfull
from tests.placing.projects import device, disc, panel, project, rect

if TYPE_CHECKING:
    from layout.project.model.project import Project

STACK = project(device("a", 250, 84), device("b", 250, 84), device("c", 250, 83), device("d", 60, 40))
"""Three devices too wide for two beside each other, together 1 mm too high; a small one that has no part in it."""


def names(one: Project) -> tuple[set[str], set[str], list[str]]:
    """Return devices and rules of the conflict, and the changes in words."""
    found = explain(one, effort=Effort.QUICK)
    devices = {b.member.key for b in found.conflict if b.member.kind == "device"}
    rules = {b.member.key for b in found.conflict if b.member.kind == "rule"}
    return devices, rules, [change.words for change in found.changes]


def test_stack_is_blamed_on_the_three_and_no_other() -> None:
    """The conflict is the three wide devices with gap and edge, each shown to be needed, and nothing else."""
    found = explain(STACK, effort=Effort.QUICK)
    assert found.proven
    assert [b.member.key for b in found.conflict] == [
        "devices.a",
        "devices.b",
        "devices.c",
        "rules.face_gap",
        "rules.edge",
    ]
    assert all(blamed.needed for blamed in found.conflict)
    assert found.findings[0].subjects == ("devices.a", "devices.b", "devices.c")


def test_changes_are_the_least_that_do() -> None:
    """One millimetre more height, or less gap, or less edge makes it fit, and is proven to be the least."""
    found = explain(STACK, effort=Effort.QUICK)
    least = {change.words: change.smallest for change in found.changes if change.amount_mm == 1}
    assert least == {
        "main 1 mm taller": True,
        "smaller gap between faces: 10 -> 9 mm": True,
        "smaller distance from the edge: 15 -> 14 mm": True,
    }
    assert {"leave out a", "leave out b", "leave out c", "allow a to be turned by 90 degrees"} <= {
        change.words for change in found.changes
    }


@pytest.mark.parametrize(
    ("what", "one", "devices", "rule", "change"),
    [
        (
            "too deep",
            project(device("a", behind=(Behind(shape=rect(40, 20), depth=130.0),)), device("b")),
            {"devices.a"},
            "panels.main.depth",
            "main 20 mm deeper",
        ),
        (
            "pins collide",
            project(device("a", pin=Pin(x=100.0, y=100.0)), device("b", pin=Pin(x=120.0, y=100.0)), device("c")),
            {"devices.a", "devices.b"},
            "devices.b.pin",
            "without pin of b",
        ),
        (
            "relation against keep-out",
            project(
                device("a"),
                device("b"),
                panels=(panel(no_go={"z": NoGo(id="z", shape=rect(200, 300, (100, 150)))}),),
                rules=Rules(relations=(Relation(on_side=("a",), side="left"),)),
            ),
            {"devices.a"},
            "rules.relations.0",
            "without on side: a",
        ),
        (
            "apart rule",
            project(
                device("a"),
                device("b"),
                rules=Rules(apart=(ApartRule(between=("a", "b"), gap=420.0),)),
            ),
            {"devices.a", "devices.b"},
            "rules.apart.0",
            "without a and b 420 mm apart",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_real_cause_is_named(what: str, one: Project, devices: set[str], rule: str, change: str) -> None:
    """Each kind of fault is explained by the devices and the rule that make it, with the change that mends it."""
    found_devices, found_rules, changes = names(one)
    assert found_devices == devices
    assert rule in found_rules
    assert change in changes


def test_over_full_panel_tells_its_load() -> None:
    """Areas that exceed what is free are a proof; the figures agree with a sum by hand."""
    many = project(*(device(f"d{k}", 110, 90) for k in range(12)))
    front = fullness_of(many)[0]
    assert front.share > FULL
    # By hand: 12 faces grown by 5 mm all round (110 x 90, sides 5 mm out, quarter circles) over 370 x 270 likewise.
    grown = 110 * 90 + 2 * 5 * (110 + 90) + 3.14159265 * 25
    free = 370 * 270 + 2 * 5 * (370 + 270) + 3.14159265 * 25
    assert front.share == pytest.approx(12 * grown / free, rel=2e-3)
    assert area_words(front).startswith(f"in front its devices need {front.needed_mm2 / 100:.0f} cm2 with their gaps, ")
    found = explain(many, effort=Effort.QUICK)
    assert found.lines[0].startswith(f"main is over-full by {(front.needed_mm2 - front.free_mm2) / 100:.0f} cm2: ")
    assert found.conflict == ()


def test_what_fits_needs_no_reason() -> None:
    """Where an arrangement is found while looking for the reason, that is the answer, and nothing is explained."""
    one = project(device("a"), device("b"))
    found = explain(one, effort=Effort.QUICK)
    assert not found.proven
    assert (found.conflict, found.lines, found.findings) == ((), (), ())
    assert found.arrangement is not None
    assert not refusals(judge(one, found.arrangement))


def test_panels_without_common_devices_are_explained_apart() -> None:
    """Only the panel that is over-full is named; one that shares no device with it plays no part."""
    both = project(*STACK.devices.values(), device("e", panel=("second",)), panels=(panel(), panel(id="second")))
    assert panels_together(both) == (("main",), ("second",))
    assert set(panels_alone(both, ("second",)).devices) == {"e"}
    assert all("second" not in line for line in explain(both, effort=Effort.QUICK).lines)


def test_leaving_a_device_out_takes_it_from_relations() -> None:
    """Relations go on without a device that is left out, and go away when one device is left."""
    bound = Rules(relations=(Relation(row=("a", "b", "c")), Relation(on_side=("a",), side="left")))
    one = replace(STACK, rules=bound)
    fewer = only(one, ("b", "c", "d"))
    assert [relation.devices for relation in fewer.rules.relations] == [("b", "c")]
    assert only(one, ("c", "d")).rules.relations == ()
    assert len(devices_named(fewer)) == 3


def test_every_rule_can_be_left_out() -> None:
    """Each rule that is a member can be left out, and the project changes by it."""
    rich = project(
        device("a", pin=Pin(x=50.0, y=50.0), face_gap=20.0),
        device("b"),
        panels=(
            panel(
                no_go={"z": NoGo(id="z", shape=disc(20, (300, 200)))},
                old_holes={"o": OldHole(id="o", shape=disc(20, (200, 200)))},
            ),
        ),
        rules=Rules(apart=(ApartRule(between=("a", "b"), gap=40.0),), relations=(Relation(row=("a", "b")),)),
    )
    members = rules_of(rich)
    assert {"devices.a.pin", "panels.main.no_go.z", "panels.main.old_holes.o"} <= {m.key for m in members}
    for member in members:
        assert member.left_out(rich) != rich, member.name


def test_stretching_moves_the_far_half() -> None:
    """A wider panel is wider by just that much; what lies past its middle goes along, the rest stays."""
    outline = Shape(path=((0.0, 0.0), (400.0, 0.0), (400.0, 200.0), (300.0, 300.0), (0.0, 300.0)))
    one = panel(
        outline=outline,
        cable_exit=CableExit(at=(390.0, 10.0), location="here"),
        no_go={"l": NoGo(id="l", shape=disc(20, (50, 50))), "r": NoGo(id="r", shape=disc(20, (350, 50)))},
        depth_steps=(DepthStep(shape=rect(400, 100, (200, 50)), depth=80.0),),
    )
    wide = stretched(project(device("a"), panels=(one,)), "main", axis=0, by_mm=25).panels["main"]
    box = wide.outline.to_path().bounds()
    assert (box.width, box.height) == (425.0, 300.0)
    assert wide.no_go["l"].shape.at == (50, 50)
    assert wide.no_go["r"].shape.at == (375, 50)
    assert wide.cable_exit is not None
    assert wide.cable_exit.at == (415.0, 10.0)
    assert wide.depth_steps[0].shape.rect == (425, 100)
    assert deeper(project(device("a"), panels=(one,)), "main", by_mm=5).panels["main"].depth == 155.0


def test_what_spans_a_panel_grows_with_it() -> None:
    """A batten across the panel stays across it; one that is short moves with the half it lies in."""
    across = NoGo(id="a", shape=rect(400, 10, (200, 150)))
    short = NoGo(id="s", shape=rect(200, 10, (250, 50)))
    one = project(device("a"), panels=(panel(no_go={"a": across, "s": short}),))
    wide = stretched(one, "main", axis=0, by_mm=30).panels["main"]
    assert (wide.no_go["a"].shape.rect, wide.no_go["a"].shape.at) == ((430, 10), (215, 150))
    assert (wide.no_go["s"].shape.rect, wide.no_go["s"].shape.at) == ((200, 10), (280, 50))


def test_a_side_that_is_asked_for_is_offered_to_be_dropped() -> None:
    """Two devices held to a half that has room for one fit when the side is dropped, and that is offered."""
    held = Rules(relations=(Relation(on_side=("a", "b"), side="left"),))
    one = project(device("a", 150, 180), device("b", 150, 180), rules=held)
    assert "without on side: a, b" in names(one)[2]


def test_reserved_room_is_offered_to_be_given_up() -> None:
    """Room for later that leaves too little for what is there now is among what would help, before a device is."""
    roomy = panel(reserved={"r": Reserved(id="r", name="a display", size=(200, 200))})
    found = explain(project(device("a", 170, 250), panels=(roomy,)), effort=Effort.QUICK)
    words = [change.words for change in found.changes]
    assert words.index("give up reserved a display") < words.index("leave out a")
    assert [change.cost for change in found.changes] == sorted(change.cost for change in found.changes)


def test_proven_and_not_proven_never_stand_together() -> None:
    """What a sentence says of proof is what its finding is, whatever the panel."""
    for seed in range(6) if EVERY else (0, 3, 5):
        found = explain(overfull(seed, 5, 0.85 + 0.05 * seed), effort=Effort.QUICK)
        for line, finding in zip(found.lines[:1], found.findings, strict=True):
            assert ("none is ruled out" in line) == (finding.rule == "fit 3")
            assert found.proven == (finding.rule == "fit 2")


@pytest.mark.parametrize("seed", range(30 if EVERY else 4))
def test_every_remedy_is_placed(seed: int) -> None:
    """Each change that is offered on an overfull panel is applied, and placing finds an arrangement for it."""
    one = overfull(seed, 4 + seed % 4, 0.95 + 0.03 * (seed % 4))
    for change in explain(one, effort=Effort.QUICK).changes:
        placing = place(change.project, effort=Effort.QUICK)
        assert placing.arrangement is not None, change.words
        assert not refusals(judge(change.project, placing.arrangement))
        assert not refusals(judge(change.project, change.arrangement))
