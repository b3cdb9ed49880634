"""Bus voltages: worked examples, a second method, laws, and ngspice on the exported tables."""

from __future__ import annotations

import csv
import re
import subprocess
from io import StringIO

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from layout.handover.files.csv_file import csv_bytes
from layout.handover.lists.network_tables import pieces_table, voltage_table
from layout.network.bus_checks.bus_voltages import SOURCE, Resistor, device_voltages, solve_voltages
from layout.project.model.network import BusCable, BusNode
from layout.wiring.result import CutList, Wiring
from tests.conftest import ROOT, needs_program
from tests.network.make import TAP, bus, cable, line, planned, tee

REFERENCE = yaml.safe_load((ROOT / "tests" / "reference" / "network.yaml").read_text(encoding="utf-8"))
EXAMPLES = {example["id"]: example for example in REFERENCE["worked_examples"]}
AMPS = REFERENCE["load_equivalency"]["amps_per_len"]


def ladder(segments_m: list[float], lens: list[int], ohm_per_m: float) -> tuple[list[Resistor], dict[str, float]]:
    """Return a ladder fed at one end: loop resistances and the current drawn at the end of each segment."""
    nodes = [SOURCE, *(f"n{i}" for i in range(len(segments_m)))]
    parts = [Resistor(first=nodes[i], second=nodes[i + 1], ohm=2 * ohm_per_m * m) for i, m in enumerate(segments_m)]
    return parts, {f"n{i}": AMPS * n for i, n in enumerate(lens)}


@pytest.mark.parametrize("name", ["net-ref-1", "net-ref-2"])
def test_worked_examples_with_the_load_at_the_far_end(name):
    """All LEN at the far end of one length of cable fall by the worked drop."""
    given_, answer = EXAMPLES[name]["given"], EXAMPLES[name]["answer"]
    parts, loads = ladder([given_["length_m"]], [given_["len_total"]], given_["ohm_per_m"])
    assert solve_voltages(tuple(parts), loads).fall_v["n0"] == pytest.approx(answer["drop_V"], abs=1e-9)


def test_worked_example_fed_in_the_middle():
    """The worked remedy holds: two legs of 15 m with LEN 9 each fall by 0.770 V."""
    ohm = EXAMPLES["net-ref-2"]["given"]["ohm_per_m"]
    parts, loads = ladder([15], [9], ohm)
    assert "0.770" in EXAMPLES["net-ref-2"]["answer"]["remedy"]
    assert solve_voltages(tuple(parts), loads).fall_v["n0"] == pytest.approx(0.770, abs=5e-4)


def test_worked_example_exact_method():
    """Loads along the cable give the worked segment currents and drop, less than the lumped formula."""
    given_, answer = EXAMPLES["net-ref-3"]["given"], EXAMPLES["net-ref-3"]["answer"]
    parts, loads = ladder(given_["segments_m"], given_["len_at_segment_ends"], given_["ohm_per_m"])
    found = solve_voltages(tuple(parts), loads)
    assert [found.current_a[p.first, p.second] for p in parts] == pytest.approx(answer["segment_currents_A"], abs=1e-9)
    assert found.fall_v["n2"] == pytest.approx(answer["drop_V"], abs=5e-5)
    assert found.fall_v["n2"] < answer["lumped_formula_V"]


def test_full_calculation_method():
    """A bus by the nodal solve equals the published sum over devices, twice for both conductors.

    IEC 62026-3 full calculation: sum of (L_n x R_c + N_taps x 0.005) x I_n over the devices of a leg, for the far end.
    """
    plan = planned(
        bus(
            {f"n{i}": BusNode(load_units=2 + i, drop=0.0) for i in range(3)},
            feed_length=0.0,
            built=line(TAP, cable(4), tee("n0"), cable(6), tee("n1"), cable(5), tee("n2")),
        )
    )
    thin = REFERENCE["conductor_resistance"]["design_worst_case"]["thin_ohm_per_m"]
    per_tap = REFERENCE["conductor_resistance"]["design_worst_case"]["per_tap_ohm"]
    one = sum(
        (metres * thin + taps * per_tap) * AMPS * lens for metres, taps, lens in ((4, 1, 2), (10, 2, 3), (15, 3, 4))
    )
    assert plan.voltages[-1].fall_v == pytest.approx(2 * one, rel=1e-12)


LEGS = st.lists(st.tuples(st.integers(1, 80), st.integers(0, 12), st.integers(0, 60)), min_size=1, max_size=6)
"""Metres x 10 to the next tee, LEN there, drop in m x 10."""


def of_legs(left: list[tuple[int, int, int]], right: list[tuple[int, int, int]], kind: BusCable = BusCable.LIGHT):
    """Return a bus with tees on both sides of its tap."""
    nodes, parts = {}, []
    for side, legs in (("l", left), ("r", right)):
        row = []
        for i, (tenths, lens, drop) in enumerate(legs):
            nodes[f"{side}{i}"] = BusNode(load_units=lens, drop=100.0 * drop)
            row += [cable(tenths / 10), tee(f"{side}{i}")]
        parts.append(row)
    built = line(*reversed(parts[0]), TAP, *parts[1])
    return planned(bus(nodes, cable=kind, built=built))


@given(left=LEGS, right=LEGS)
def test_nodal_solve_equals_the_sum_along_the_cable(left, right):
    """At every device the nodal solve gives what adding segment by segment gives."""
    plan = of_legs(left, right)
    falls = {row.node: row.fall_v for row in plan.voltages}
    total = AMPS * sum(lens for _, lens, _ in (*left, *right))
    start = 2 * 0.069 * 1.0 * total
    for side, legs in (("l", left), ("r", right)):
        fall = start
        for i, (tenths, lens, drop) in enumerate(legs):
            beyond = AMPS * sum(n for _, n, _ in legs[i:])
            fall += 2 * (0.069 * tenths / 10 + 0.005) * beyond
            own = fall + 2 * 0.069 * drop / 10 * AMPS * lens
            assert falls[f"{side}{i}"] == pytest.approx(own, abs=1e-9)


@given(left=LEGS, right=LEGS)
def test_heavier_cable_never_lowers_a_voltage(left, right):
    """Every device on mid cable gets at least what it gets on light cable."""
    light, mid = of_legs(left, right), of_legs(left, right, BusCable.MID)
    for one, other in zip(light.voltages, mid.voltages, strict=True):
        assert other.fall_v <= one.fall_v + 1e-12


@given(left=LEGS, right=LEGS)
def test_worst_case_is_never_better_than_nominal(left, right):
    """The figures that decide never give a device more than the nominal ones that are shown."""
    for row in of_legs(left, right).voltages:
        assert row.voltage_v <= row.voltage_nominal_v + 1e-12


def test_loop_shares_the_current():
    """In a loop current takes both ways, in inverse ratio of their resistances (Kirchhoff, by hand)."""
    ring = (
        Resistor(first=SOURCE, second="a", ohm=1.0),
        Resistor(first="a", second="b", ohm=1.0),
        Resistor(first=SOURCE, second="b", ohm=1.0),
    )
    found = solve_voltages(ring, {"b": 3.0})
    assert found.current_a[SOURCE, "b"] == pytest.approx(2.0)
    assert found.current_a[SOURCE, "a"] == pytest.approx(1.0)
    assert found.fall_v["b"] == pytest.approx(2.0)


def test_unreached_devices_have_no_voltage():
    """A device that no power tap reaches gets no figure instead of the feed's voltage."""
    plan = planned(bus({"a": BusNode(load_units=1, drop=0.0)}, built=line(tee("a"))))
    assert device_voltages(plan.assembly) == ()


UNWIRED = Wiring(
    practice="iso", runs=(), feeders=(), wireways=(), ways=(), studs=(), cut_list=CutList(reels=(), copper_kg=0.0),
    numbers={}, findings=(),
)  # fmt: skip


@needs_program("ngspice")
def test_ngspice_agrees(tmp_path):
    """ngspice, on a netlist made from the exported CSV alone, gives every device the same voltage."""
    plan = of_legs([(31, 4, 12), (52, 9, 60), (17, 2, 0)], [(23, 6, 35), (80, 11, 48)])
    pieces, devices = (rows_of(csv_bytes(table(plan, UNWIRED))) for table in (pieces_table, voltage_table))
    lines = netlist(pieces, devices, feed_v=11.0)
    file = tmp_path / "bus.cir"
    file.write_text(lines, encoding="utf-8")
    done = subprocess.run(["ngspice", "-b", str(file)], capture_output=True, text=True, check=True, timeout=60)
    volts = {name: float(value) for name, value in re.findall(r"v\((\S+)\) = (\S+)", done.stdout)}
    assert len(devices) == 5
    for index, row in enumerate(devices):
        assert volts[f"dp{index}"] - volts[f"dn{index}"] == pytest.approx(float(row["voltage_v"]), abs=2e-6)


def rows_of(data: bytes) -> list[dict[str, str]]:
    """Read a CSV file back."""
    return list(csv.DictReader(StringIO(data.decode("utf-8"))))


def netlist(pieces: list[dict[str, str]], devices: list[dict[str, str]], *, feed_v: float) -> str:
    """Write both conductors of a bus with every piece, drop and load."""
    metre = {"light": 0.069, "mid": 0.015, "plugged": 0.0}
    out = ["bus", f"Vfeed srcp 0 {feed_v}", "Vzero srcn 0 0"]
    for row in pieces:
        ohm = metre[row["cable"]] * float(row["length_m"] or 0) + (0.0 if row["piece"] == "feed" else 0.005)
        start = "src" if row["piece"] == "feed" else row["from"]
        out += [f"Rpiece{row['piece']}{pole} {start}{pole} {row['to']}{pole} {ohm}" for pole in "pn"]
    for index, row in enumerate(devices):
        ohm = max(0.069 * float(row["drop_m"]), 1e-9)
        out += [f"Rdrop{index}{pole} {row['tee']}{pole} d{pole}{index} {ohm}" for pole in "pn"]
        out.append(f"Id{index} dp{index} dn{index} {row['current_a']}")
    prints = [f"print v(dp{index}) v(dn{index})" for index in range(len(devices))]
    return "\n".join([*out, ".control", "set numdgt=9", "op", *prints, "quit", ".endc", ".end", ""])
