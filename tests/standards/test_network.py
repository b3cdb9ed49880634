"""The bus tables against the published figures in tests/reference/network.yaml, whole tables."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from layout.standards import network

REFERENCE = yaml.safe_load((Path(__file__).parent.parent / "reference" / "network.yaml").read_text(encoding="utf-8"))
EXAMPLES = {example["id"]: example for example in REFERENCE["worked_examples"]}


def test_lens_round_up():
    """LEN is the current divided by 50 mA, rounded up: 151 mA is LEN 4, 150 mA is LEN 3."""
    assert network.amps_per_len() == REFERENCE["load_equivalency"]["amps_per_len"]
    assert [network.lens_of(a) for a in (0.0, 0.001, 0.05, 0.0501, 0.15, 0.151, 1.0)] == [0, 1, 1, 2, 3, 4, 20]


def test_device_limits():
    """Greatest device current, count, drops and backbones are those of the installation manuals."""
    load, limits = REFERENCE["load_equivalency"], REFERENCE["limits"]
    assert network.most_device_current_a() == load["max_device_current_A"]
    assert network.lens_of(network.most_device_current_a()) == load["max_device_len"]
    assert network.most_devices() == limits["max_physical_devices"]
    assert network.most_drop_mm() == 1000 * limits["max_drop_m"]
    assert network.most_drops_together_mm() == 1000 * limits["max_cumulative_drop_m"]
    for cable in (network.LIGHT, network.MID, network.HEAVY):
        assert network.most_backbone_mm(cable) == 1000 * limits[f"max_backbone_m_{cable}"]


def test_terminators_and_supply():
    """Terminators are 120 ohm, both together measure 60; the bus works from 9 to 16 V; light cable takes a 3 A fuse."""
    assert network.terminator_ohm() == REFERENCE["terminators"]["ohms"]
    low, high = network.measured_range_ohm()
    assert low < REFERENCE["terminators"]["measured_CANH_CANL_ohms"]["value"] < high
    assert f"{low:g}..{high:g}" in REFERENCE["terminators"]["measured_CANH_CANL_ohms"]["tolerance"]
    assert list(network.supply_range_v()) == REFERENCE["supply"]["range_V"]
    assert network.most_fuse_light_a() == REFERENCE["supply"]["fuse_light_cable_A"]


@pytest.mark.parametrize(("cable", "connector", "amps"), REFERENCE["current_per_segment"]["rows"])
def test_current_per_side(cable, connector, amps):
    """Each row of cable and connector gives its amperes."""
    assert network.most_side_current_a(cable, connector) == amps


def test_pairs_that_do_not_exist_are_refused():
    """Light cable has no mini and heavy cable no micro connectors."""
    for cable, connector in (("light", "mini"), ("heavy", "micro")):
        with pytest.raises(KeyError, match=f"no {cable} cable with {connector}"):
            network.most_side_current_a(cable, connector)


def test_resistances():
    """Worst case is 0.069 and 0.015 ohm/m with 0.005 ohm a tap; the nominal ones are among the published rows."""
    worst = REFERENCE["conductor_resistance"]["design_worst_case"]
    assert network.ohm_per_m("light") == worst["thin_ohm_per_m"]
    assert network.ohm_per_m("mid") == network.ohm_per_m("heavy") == worst["thick_ohm_per_m"]
    assert network.tap_ohm() == worst["per_tap_ohm"]
    published = {(row["cable"], row["r"]) for row in REFERENCE["conductor_resistance"]["rows"]}
    for cable in (network.LIGHT, network.MID, network.HEAVY):
        nominal = network.ohm_per_m(cable, worst_case=False)
        assert (cable, nominal) in published
        assert nominal < network.ohm_per_m(cable)


def test_colours_and_mechanics():
    """Conductor colours, largest diameters and the bend radius are those of the cable table."""
    assert network.wire_colours() == {row["name"]: row["colour"] for row in REFERENCE["wire_colours"]["rows"]}
    mechanics = REFERENCE["cable_mechanics"]
    assert network.outer_diameter_mm("light") == max(mechanics["light_od_mm"])
    assert network.outer_diameter_mm("mid") == mechanics["mid_od_mm"]
    assert network.outer_diameter_mm("heavy") == max(mechanics["heavy_od_mm"])
    assert mechanics["bend_radius"].startswith("7 x")
    assert network.bus_bend_radius_mm("mid") == pytest.approx(7 * mechanics["mid_od_mm"])


def test_serial_baud():
    """IEC 61162-1 runs at 4800 baud and IEC 61162-2 at 38400."""
    assert [network.serial_baud("IEC 61162-1"), network.serial_baud("IEC 61162-2")] == REFERENCE["nmea_0183"]["baud"]
