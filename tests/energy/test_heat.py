"""Heat behind a panel against figures worked by hand from the stated formula, and its rules."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.energy import energy_balance
from layout.energy.heat import carried_w, rise_k
from layout.project.model.device import Device
from layout.project.model.energy import Conversion, Energy, Heat
from layout.project.model.panel import Panel
from layout.project.model.project import Project, TitleBlock
from layout.project.model.shape import Shape
from layout.project.model.supplies import Supply

SQUARE = Shape(rect=(100.0, 100.0))
ONE = Device(id="one", name="One", panel=("p",), mount="surface", face=SQUARE, heat=20.0)
TWO = replace(ONE, id="two", name="Two", heat=None)


def made(heat: Heat, *devices: Device, **more: object) -> Project:
    """Return a project with one panel, some devices and its heat."""
    panel = Panel(id="p", name="Panel", outline=SQUARE, thickness=10.0, material="plywood")
    return Project(
        spile=1,
        project=TitleBlock(name="test"),
        panels={"p": panel},
        devices={device.id: device for device in devices},
        energy=Energy(heat={"p": heat}, **{k: v for k, v in more.items() if k != "supplies"}),
        supplies=more.get("supplies", {}),
    )


def test_walls_alone():
    """20 W through 1 m2 of wood at 3.5 W/m2K warms the space by 5.71 K."""
    rise = rise_k(20.0, surface_mm2=1e6, metal=False, vent_mm2=0.0, height_mm=0.0, ambient_c=30.0)
    assert rise == pytest.approx(20 / 3.5, abs=1e-6)


def test_metal_walls():
    """The same walls of sheet metal at 5.5 W/m2K keep it to 3.64 K."""
    rise = rise_k(20.0, surface_mm2=1e6, metal=True, vent_mm2=0.0, height_mm=0.0, ambient_c=30.0)
    assert rise == pytest.approx(20 / 5.5, abs=1e-6)


def test_vents_alone():
    """Two openings of 60 cm2, 0.4 m apart, at 30 C and a rise of 10 K carry off 11 W.

    By hand: flow 0.6 x (0.006 / 1.4142) x sqrt(2 x 9.81 x 0.2 x 10 / 303.15) = 0.000916 m3/s, heat
    1.2 x 1005 x 0.000916 x 10 = 11.0 W.
    """
    flow = 0.6 * 0.006 / math.sqrt(2) * math.sqrt(2 * 9.81 * 0.2 * 10 / 303.15)
    assert flow == pytest.approx(0.000916, abs=1e-6)
    heat = carried_w(10.0, surface_mm2=0.0, metal=False, vent_mm2=6000.0, height_mm=400.0, ambient_c=30.0)
    assert heat == pytest.approx(1.2 * 1005 * flow * 10)
    assert heat == pytest.approx(11.0, abs=0.1)


@given(watts=st.floats(0.1, 500), surface=st.floats(1e5, 3e6), vent=st.floats(0, 2e4))
def test_rise_carries_off_the_heat(watts, surface, vent):
    """At the rise that is found exactly the heat given off leaves."""
    terms = {"surface_mm2": surface, "metal": False, "vent_mm2": vent, "height_mm": 300.0, "ambient_c": 30.0}
    assert carried_w(rise_k(watts, **terms), **terms) == pytest.approx(watts, rel=1e-6)


@given(watts=st.floats(1, 300), more=st.floats(1, 100), vent=st.floats(0, 1e4))
def test_more_heat_is_warmer_and_more_opening_cooler(watts, more, vent):
    """More watts never make it cooler, and more opening never warmer."""
    terms = {"surface_mm2": 5e5, "metal": False, "height_mm": 300.0, "ambient_c": 30.0}
    here = rise_k(watts, vent_mm2=vent, **terms)
    assert rise_k(watts + more, vent_mm2=vent, **terms) >= here
    assert rise_k(watts, vent_mm2=vent + 1000, **terms) <= here


def test_no_way_out():
    """With neither walls nor openings there is no figure."""
    assert rise_k(5.0, surface_mm2=0.0, metal=False, vent_mm2=0.0, height_mm=0.0, ambient_c=20.0) is None


WALLS = Heat(ambient=30.0, limit=40.0, surface=1e6)


def test_sound_panel():
    """20 W behind 1 m2 at 30 C stays at 35.7 C, below its limit."""
    (row,) = energy_balance(made(WALLS, ONE)).heat
    assert row.inside_c == pytest.approx(30 + 20 / 3.5, abs=1e-6)
    assert row.findings == ()


CASES = {
    "too warm": ("day 30", made(Heat(ambient=30.0, limit=40.0, surface=1e5), ONE)),
    "too warm for the usual limit": ("day 30", made(Heat(ambient=30.0, surface=1e5), ONE)),
    "dissipation unknown": ("day 31", made(WALLS, ONE, TWO)),
    "ambient unknown": ("day 32", made(Heat(surface=1e6), ONE)),
    "no way out for heat": ("day 32", made(Heat(ambient=30.0), ONE)),
}


@pytest.mark.parametrize(("rule", "project"), CASES.values(), ids=CASES)
def test_rule_catches(rule, project):
    """A panel that breaks a rule is found by it."""
    assert rule in {finding.rule for finding in energy_balance(project).findings}


def test_unknown_watts_are_never_cold():
    """With one device unknown there is neither a sum nor a temperature; named as cool, it is nothing."""
    (row,) = energy_balance(made(WALLS, ONE, TWO)).heat
    assert row.total_w is None
    assert row.inside_c is None
    (row,) = energy_balance(made(replace(WALLS, cool=("two",)), ONE, TWO)).heat
    assert row.total_w == 20.0


def test_converter_loses_what_its_efficiency_says():
    """A 240 W converter of 80 % with 2 W standby gives off 62 W when nothing else is said."""
    supply = Supply(id="c", kind="converter", voltage=12.0, current=20.0, device="two")
    project = made(WALLS, ONE, TWO, supplies={"c": supply}, conversions={"c": Conversion(efficiency=0.8, standby=2.0)})
    (row,) = energy_balance(project).heat
    assert {device.device: device.watts for device in row.devices} == {"one": 20.0, "two": pytest.approx(62.0)}
