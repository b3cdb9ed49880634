"""Conductors loaded together, by hand."""

from __future__ import annotations

from dataclasses import replace

from layout.project.model.circuits import Leg
from layout.wiring.wire import wire
from tests.wiring.builders import boat, lamp, way
from tests.wiring.faulty import ac, part


def loaded(project, wireway="w0"):
    """Return how many conductors are loaded together in a wireway."""
    return next(fill.loaded for fill in wire(project, None).wireways if fill.wireway == wireway)


def test_both_legs_count():
    """Three pairs are six conductors, and each run is sized for six."""
    project = boat({f"c{n}": lamp(n) for n in (1, 2, 3)})
    assert loaded(project) == 6
    assert {run.bundle for run in wire(project, None).runs if run.owner_kind == "circuit"} == {6}


def test_earth_does_not_count():
    """Line, neutral and earth are two loaded conductors."""
    assert loaded(ac(), "wa") == 2


def test_what_never_runs_together_counts_once():
    """Of a windlass and a thruster only one is loaded."""
    assert loaded(boat({f"c{n}": lamp(n, never_with="bow") for n in (1, 2)})) == 2


def test_sense_does_not_count():
    """A sense wire carries next to nothing."""
    legs = {
        "feed": Leg(from_="dc/1", to="lamp1@0/+"),
        "back": Leg(from_="lamp1@0/-", to="dc/-", pole="-"),
        "sense": Leg(from_="dc/-", to="lamp1@0/s", pole="sense"),
    }
    assert loaded(boat({"c1": lamp(1, legs=legs)})) == 2


def test_spaced_conductors_are_no_bundle():
    """A tray in which cables lie apart has no bundling, if the project says so."""
    project = boat({f"c{n}": lamp(n) for n in (1, 2, 3)})
    apart = part(project, "wireways", "w0", bundled=False)
    assert {run.bundle for run in wire(apart, None).runs if run.owner_kind == "circuit"} == {2}


def test_reading_without_factor_below_50_v_is_noted():
    """The looser reading thins wires, and its footnote stands on the schedule."""
    circuits = {f"c{n}": lamp(n, amps=9.0) for n in range(1, 5)}
    strict = boat(circuits, lengths_mm=(400.0,), ways={str(n): way(20.0) for n in range(1, 5)})
    loose = replace(strict, wiring=replace(strict.wiring, bundling="from 50 V"))
    thick, thin = wire(strict, None), wire(loose, None)
    assert thin.run("circuits.c1").size.area_mm2 < thick.run("circuits.c1").size.area_mm2
    assert any("only from 50 V on" in text for text in thin.footnotes.values())
