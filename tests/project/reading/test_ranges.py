"""Every quantity has a sane range: what lies outside is told at its place, and the just-legal twin passes.

The bounds are common practice with no single source, but where a line names one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from layout.project.model.project_file import ProjectFile
from layout.project.reading import spec
from layout.project.reading.read import read
from layout.quantity import QuantityKind

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PANEL = "panels: {wall: {outline: {rect: [400, 300]}, thickness: 9, material: plywood, depth: 100}}"
METER = "meter: {panel: wall, face: {rect: [60, 60]}, cutout: {circle: 52}, behind: {shape: {circle: 50}, depth: 40}}"
PLACES = "locations: {a: {}, b: {}}"
SUPPLY = "supplies: {house: {kind: battery, voltage: 12 V}}"

CASES: dict[str, tuple[str, str, str]] = {
    "panels: {wall: {outline: {rect: [?, 300]}, thickness: 9, material: plywood}}": ("1000000000", "5001", "5000"),
    "panels: {wall: {outline: {rect: [400, 300]}, thickness: ?, material: plywood}}": ("0", "101", "100"),
    "panels: {wall: {outline: {rect: [400, 300]}, thickness: 9, material: plywood, edge: ?}}": ("-1", "2001", "2000"),
    "rules: {face_gap: ?}": ("1000000000", "2001", "0"),
    "workshop: {overlap: ?}": ("-1", "61", "60"),
    "workshop: {drills: [?]}": ("0", "501", "0.3"),
    "wiring: {working_temperature: ?}": ("-40 °C", "19.9 °C", "20 °C"),  # resistances at 20 °C: IEC 60228
    "wiring: {insulation: ?}": ("-400 °C", "59 °C", "60 °C"),
    "wiring: {slack_ends: ?}": ("-1 mm", "10001 mm", "0 mm"),
    "locations: {a: {at: [?, 0, 0]}}": ("1000000000", "200001", "-200000"),
    PLACES + "\nwireways: {w: {from: a, to: b, kind: free, length: ?}}": ("0 m", "1001 m", "1000 m"),
    PLACES + "\nwireways: {w: {from: a, to: b, kind: conduit, bore: ?}}": ("0", "501", "500"),
    PLACES + "\nwireways: {w: {from: a, to: b, kind: tray, temperature: ?}}": ("-400 °C", "251 °C", "-60 °C"),
    PLACES + "\nwireways: {w: {from: a, to: b, kind: tray, bends: ?}}": ("-1", "3601", "3600"),
    "supplies: {house: {kind: battery, voltage: ?}}": ("0 V", "1001 V", "1000 V"),  # end of low voltage: IEC 60449
    "supplies: {house: {kind: battery, voltage: 12 V, capacity: ?}}": ("0 Ah", "100001 Ah", "100000 Ah"),
    "supplies: {house: {kind: battery, voltage: 12 V, fault_current: ?}}": ("0 A", "201 kA", "200 kA"),
    "supplies: {house: {kind: battery, voltage: 12 V, resistance: ?}}": ("0 ohm", "10001 ohm", "1 mohm"),
    "supplies: {c: {kind: charger, voltage: 12 V, current: ?}}": ("0 A", "10001 A", "10 kA"),
    "supplies: {c: {kind: charger, voltage: 12 V, efficiency: ?}}": ("0 %", "101 %", "1 %"),
    SUPPLY + "\ncircuits: {c: {from: house, to: house, purpose: x, load: {current: ?}}}": ("0 A", "10001 A", "0.001 A"),
    SUPPLY + "\ncircuits: {c: {from: house, to: house, purpose: x, load: {power: ?}}}": ("0 W", "201 kW", "200 kW"),
    SUPPLY + "\ncircuits: {c: {from: house, to: house, purpose: x, length: ?}}": ("0 m", "1001 m", "1 mm"),
    SUPPLY + "\ncircuits: {c: {from: house, to: house, purpose: x, drop_limit: ?}}": ("100 %", "10.1 %", "10 %"),
    SUPPLY + "\ncircuits: {c: {from: house, to: house, purpose: x, size: ?}}": ("0 mm2", "41 AWG", "40 AWG"),
    SUPPLY + "\nfeeders: {f: {from: house, to: house, size: ?}}": ("0.02 mm2", "1001 mm2", "1000 mm2"),
    "cables: {t: {insulation: 90 °C, cores: ?}}": ("0", "101", "1"),
    "cables: {t: {insulation: 90 °C, bend_radius: ?}}": ("0", "101", "1"),
    "cables: {t: {insulation: 90 °C, sizes: {1 mm2: ?}}}": ("0", "501", "500"),
    SUPPLY + "\nnetworks: {n: {supply: house, allowed_drop: ?}}": ("5 V", "3.01 V", "3 V"),
    SUPPLY + "\n" + PANEL + "\ndevices: {" + METER + "}\nnetworks: {n: {supply: house, "
    "nodes: {meter: {load_units: ?}}}}": (
        "0", "251", "1",
    ),
    "antennas: {l: {radio: meter, antenna: meter2, cable: RG-213, frequency: 156.8 MHz, attenuation: ?}}": (
        "0 dB", "1001 dB", "0.1 dB",
    ),
    "antennas: {l: {radio: meter, antenna: meter2, cable: RG-213, frequency: 156.8 MHz, limit: ?}}": (
        "-1 dB", "10.1 dB", "10 dB",
    ),
    "energy: {banks: {house: {usable: ?}}}": ("0 %", "101 %", "100 %"),
    "energy: {situations: {sea: {uses: {c: {hours: 1 h, standby: ?}}}}}": ("-1 A", "1001 A", "0 A"),
    "wishes: {wanted: [{wish: aligned, weight: ?}]}": ("-1", "1000001", "0"),
}  # fmt: skip
"""Where a quantity stands, two values that lie outside on either side or far and near, and one just inside."""


def faults(text: str, folder: Path) -> list[tuple[str, int]]:
    """Return the bounds that a project breaks, each by its code and line."""
    path = folder / "project.yaml"
    path.write_text(f"spile: 2\nproject: {{name: Ranges}}\n{text}\n", encoding="utf-8")
    return [(one.rule, one.at.line) for one in read(path).findings if one.rule in {"file 32", "file 33", "file 36"}]


@pytest.mark.parametrize("text", CASES, ids=lambda text: text.split("\n")[-1][:60])
def test_out_of_range_is_told_at_its_line_and_the_twin_passes(text: str, tmp_path: Path) -> None:
    """A value outside is one finding where it stands; a value just inside is none."""
    *outside, inside = CASES[text]
    line = 3 + text.count("\n")
    for value in outside:
        assert faults(text.replace("?", value), tmp_path) == [("file 33", line)], value
    assert faults(text.replace("?", inside), tmp_path) == []


def kinds(record: type, path: str = "", seen: tuple[type, ...] = ()) -> Iterator[tuple[str, QuantityKind]]:
    """Give every quantity that a record can hold, with its path of keys."""
    for key, (_, kind) in spec.keys(record).items():
        todo = [kind]
        while todo:
            current = todo.pop()
            for one in spec.choices(current):
                yield from ((f"{path}.{key}", mark) for mark in spec.marks(one) if isinstance(mark, QuantityKind))
                if (inner := spec.mapped(one)) is not None:
                    todo.append(inner)
                if (listed := spec.listed(one)) is not None:
                    todo.extend(listed[0])
                if (held := spec.record(one)) is not None and held not in seen:
                    yield from kinds(held, f"{path}.{key}", (*seen, held))


def test_every_quantity_of_the_model_is_bounded_on_both_sides() -> None:
    """No field takes any number: each has a least (or more than) and a most."""
    found = list(kinds(ProjectFile))
    assert len(found) > 100
    open_ended = [path for path, mark in found if mark.most is None or (mark.least is None and mark.above is None)]
    assert open_ended == []


@pytest.mark.parametrize("value", ["nan", "inf", "-inf", "1e9", ".inf", ".nan", "1" * 400])
def test_what_is_no_plain_number_is_no_quantity(value: str, tmp_path: Path) -> None:
    """Words that some programs take for numbers are text here, and a quantity is no text."""
    assert faults(f"rules: {{face_gap: {value}}}", tmp_path) == [("file 32", 3)]


LARGE = "panels: {wall: {outline: ?, thickness: 9, material: plywood, depth: 100}}"
THICK = "cables: {t: {insulation: 90 °C, cores: 2, sizes: {?}}}"
METAL = "boat: {hull: ?}\nsupplies: {shore: {kind: shore, voltage: 230 V, isolation: none}}"
PIPE = PLACES + "\nwireways: {w: {from: a, to: b, kind: ?, bundled: false}}"


@pytest.mark.parametrize(
    ("rule", "text", "wrong", "twin"),
    [
        ("file 42", LARGE, "{rect: [5000, 3001]}", "{rect: [5000, 3000]}"),
        ("file 42", LARGE, "{rect: [3001, 5000]}", "{rect: [3000, 5000]}"),
        ("file 42", LARGE, "{polygon: [[-5000, 0], [5000, 0], [0, 90]]}", "{polygon: [[0, 0], [5000, 0], [0, 90]]}"),
        # two circles of 16 mm2 lie in one of 6.4 mm and more: d = sqrt(4 x 32 / pi) = 6.383 mm
        ("file 43", THICK, "16 mm2: 0.5", "16 mm2: 6.4"),
        ("file 43", THICK, "16 mm2: 6.38", "16 mm2: 6.4"),
        ("file 43", THICK, "14 AWG: 2.1", "14 AWG: 2.4"),
        ("file 44", METAL, "metal", "grp"),
        ("file 45", PIPE, "conduit", "tray"),
        ("file 45", PIPE, "trunk", "free"),
    ],
)  # fmt: skip
def test_what_can_not_be_is_refused_and_its_twin_passes(
    rule: str, text: str, wrong: str, twin: str, tmp_path: Path
) -> None:
    """Figures that are each in range but can't be together, and words that loosen too much, leave no project."""
    path = tmp_path / "project.yaml"
    for value, expected in ((wrong, [rule]), (twin, [])):
        path.write_text(f"spile: 2\nproject: {{name: Limits}}\n{text.replace('?', value)}\n", encoding="utf-8")
        reading = read(path)
        assert [one.rule for one in reading.findings if one.rule.startswith("file 4")] == expected, value
        assert (reading.project is None) == bool(expected)
        assert all(one.at.line for one in reading.findings if one.rule == rule)
