"""The catalogue of generic devices against the published sizes it is taken from."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from layout.project import catalogue
from layout.project.reading.read import read
from layout.project.reading.tree import plain_values
from tests.conftest import ROOT

REFERENCE = yaml.safe_load((ROOT / "tests/reference/cutouts.yaml").read_text(encoding="utf-8"))
KEYS: dict[str, Any] = {name: plain_values(entry.keys) for name, entry in catalogue.entries().items()}


def test_every_instrument_size() -> None:
    """Bezel, opening and plus tolerance of every common size follow IEC 61554, the tolerance the smaller of the two."""
    table = REFERENCE["iec_61554_din_43700"]
    rows = {bezel: (cutout, plus) for bezel, cutout, plus in table["rows"]}
    assert {name for name in KEYS if name.startswith("instrument-")} == {
        f"instrument-{w}x{h}" for w, h in table["common_sizes"]
    }
    for w, h in table["common_sizes"]:
        keys = KEYS[f"instrument-{w}x{h}"]
        assert keys["face"] == {"rect": [w, h]}
        assert keys["cutout"] == {"rect": [rows[w][0], rows[h][0]]}
        assert keys["cutout_tolerance"] == {"plus": min(rows[w][1], rows[h][1])}


def test_every_round_gauge() -> None:
    """Holes, their ranges and bezels of round gauges are the reference's (trade practice, no single standard)."""
    rows = REFERENCE["round_gauges"]["rows"]
    assert {name for name in KEYS if name.startswith("gauge-")} == {f"gauge-{row['nominal']}" for row in rows}
    for row in rows:
        keys = KEYS[f"gauge-{row['nominal']}"]
        assert keys["cutout"] == {"circle": row["hole"]}
        assert keys["face"] == {"circle": row["bezel_typ"]}
        low, high = row.get("hole_range", (row["hole"], row["hole"]))
        tolerance = keys.get("cutout_tolerance", {"plus": 0, "minus": 0})
        assert row["hole"] + tolerance["plus"] == pytest.approx(high)
        assert row["hole"] - tolerance["minus"] == pytest.approx(low)


def test_sockets() -> None:
    """Panel holes of sockets lie in the ranges of the reference."""
    rows = {row["name"]: row for row in REFERENCE["sockets"]["rows"]}
    for name, row in (
        ("socket-iso-4165", rows["ISO 4165 panel hole for the socket"]),
        ("socket-accessory", rows["SAE J563 accessory socket, panel hole"]),
        ("socket-usb-charger", rows["dual USB charger in the same body"]),
    ):
        keys = KEYS[name]
        assert keys["cutout"] == {"circle": row["hole"]}
        low, high = row.get("hole_range", (row["hole"], row["hole"]))
        tolerance = {"plus": 0, "minus": 0} | keys.get("cutout_tolerance", {})
        assert low <= row["hole"] - tolerance["minus"] + 1e-9
        assert row["hole"] + tolerance["plus"] <= high + 1e-9


def test_control_devices() -> None:
    """Holes, tolerances and least pitch of control devices follow IEC 60947-5-1; the rocker is the trade size."""
    table = REFERENCE["control_devices"]
    for name, hole, plus, pitch in table["rows"]:
        keys = KEYS[f"control-{name.lower()}"]
        assert keys["cutout"] == {"circle": hole}
        assert keys["cutout_tolerance"] == {"plus": plus}
        assert keys["face"] == {"rect": [float(size) for size in pitch.split(" x ")]}
    rocker = table["rocker_switch_common"]
    assert KEYS["rocker-switch"]["cutout"] == {"rect": [rocker["w"], rocker["h"]], "radius": rocker["corner_r_max"]}


def test_modular_rows() -> None:
    """A window for n modules is n x 18 mm wide and as high as usual, with the smaller allowance (DIN 43880)."""
    table = REFERENCE["modular_devices_din_43880"]
    pitch, height = table["module_pitch_for_layout"], table["panel_window_height"]["usual"]
    rows = [name for name in KEYS if name.startswith("modular-row-")]
    assert len(rows) == 24
    for name in rows:
        modules = int(name.rpartition("-")[2])
        assert KEYS[name]["cutout"] == {"rect": [modules * pitch, height]}
        assert KEYS[name]["cutout_tolerance"] == {"plus": 0.5}
    window = next(row for row in table["examples"] if "window_w" in row)
    assert KEYS[f"modular-row-{window['modules']}"]["cutout"]["rect"][0] == window["window_w"]


def test_radio_slots() -> None:
    """The hole of a radio slot is that for the sleeve, not the device's front (ISO 7736)."""
    rows = {row["name"]: row for row in REFERENCE["radio_slot"]["rows"]}
    for name, row in (
        ("radio-single", rows["single opening with sleeve"]),
        ("radio-double", rows["double opening"]),
    ):
        assert KEYS[name]["cutout"] == {"rect": [row["w"], row["h"]]}


def test_rack_units() -> None:
    """Height, width and outer holes of 19-inch panels follow IEC 60297, clearance holes ISO 273."""
    table = REFERENCE["rack_19_inch"]
    heights = {name: value for name, value in table["panel_heights"].items() if name != "basis"}
    assert {f"rack-{name.lower()}" for name in heights} == {name for name in KEYS if name.startswith("rack-")}
    for name, height in heights.items():
        keys, units = KEYS[f"rack-{name.lower()}"], int(name[:-1])
        assert keys["face"]["rect"] == [table["panel_width"], height]
        assert keys["cutout"]["rect"] == [table["opening_width_min"]["value"], height]
        assert len(keys["fixings"]) == 4
        for fixing in keys["fixings"]:
            assert 2 * abs(fixing["at"][0]) == pytest.approx(table["hole_pitch_horizontal"])
            inset = table["first_hole_above_U_edge"]["value"]
            assert abs(fixing["at"][1]) == pytest.approx(units * table["U"] / 2 - inset, abs=0.001)
            assert fixing["drill"] == REFERENCE["hole_saws"]["clearance_holes_iso_273_medium"][fixing["thread"]]


def test_display_mounts() -> None:
    """Patterns and screws of display mounts are those of the reference (VESA), holes ISO 273 medium."""
    rows = REFERENCE["vesa_fdmi"]["rows"]
    assert {name for name in KEYS if name.startswith("vesa-")} == {
        f"vesa-{row['pattern'][0]}x{row['pattern'][1]}" for row in rows
    }
    for row in rows:
        w, h = row["pattern"]
        fixings = KEYS[f"vesa-{w}x{h}"]["fixings"]
        assert {tuple(fixing["at"]) for fixing in fixings} == {(x * w / 2, y * h / 2) for x in (-1, 1) for y in (-1, 1)}
        clearance = REFERENCE["hole_saws"]["clearance_holes_iso_273_medium"][row["screw"]]
        assert {(fixing["thread"], fixing["drill"]) for fixing in fixings} == {(row["screw"], clearance)}


def test_every_entry_says_where_it_is_from() -> None:
    """Each entry names its source and what it leaves open, and is drawn DO NOT CUT until it is confirmed."""
    for entry in catalogue.entries().values():
        assert entry.source
        assert entry.about
        assert KEYS[entry.name]["size_from"] == "catalogue"


@pytest.mark.parametrize("name", KEYS)
def test_every_entry_makes_a_device(name: str, tmp_path: Any) -> None:
    """With the keys that its standard leaves open, each entry reads as a device without any fault."""
    keys = KEYS[name]
    own = "" if "face" in keys else ", face: {rect: [420, 420]}"
    own += ", behind: {shape: {rect: [10, 10]}, depth: 50}" if keys.get("mount") != "surface" else ""
    (tmp_path / "panel.yaml").write_text(
        "spile: 2\nproject: {name: Test}\npanels:\n"
        "  wall: {outline: {rect: [900, 900]}, thickness: 9, material: plywood, depth: 100}\n"
        f"devices:\n  it: {{type: {name}, panel: wall{own}}}\n"
    )
    reading = read(tmp_path / "panel.yaml")
    assert reading.findings == ()
    assert reading.project is not None
    assert reading.project.devices["it"].size_from == "catalogue"
