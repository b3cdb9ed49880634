"""Reading whole projects: types, defaults, places, datum."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from layout.project.model.shape import Shape
from layout.project.reading.read import read
from layout.quantity import WireSize
from tests.conftest import EXAMPLES

if TYPE_CHECKING:
    from pathlib import Path

    from layout.project.model.project import Project

HEAD = """\
spile: 2
project: {name: Test, revision: 1.10, date: 2026-11-25}
panels:
  wall: {outline: {rect: [400, 300]}, thickness: 9, material: plywood, depth: 100}
"""
PROJECTS = [
    path
    for path in sorted(EXAMPLES.rglob("*.yaml"))
    if any(line.startswith("spile:") for line in path.read_text(encoding="utf-8").splitlines())
]


def project_of(folder: Path, text: str, *, told: tuple[str, ...] = (), **others: str) -> Project:
    """Read a project that must be fine, but for findings of these codes."""
    for name, part in others.items():
        (folder / f"{name}.yaml").write_text(part, encoding="utf-8")
    (folder / "panel.yaml").write_text(text, encoding="utf-8")
    reading = read(folder / "panel.yaml")
    assert tuple(finding.rule for finding in reading.findings) == told
    assert reading.project is not None
    return reading.project


@pytest.mark.parametrize("path", PROJECTS, ids=lambda path: path.stem)
def test_example_reads_without_a_fault(path: Path) -> None:
    """Each shipped project reads with nothing to say, whatever else may be wrong with it on purpose."""
    reading = read(path)
    assert reading.findings == ()
    assert reading.project is not None


def test_text_fields_take_what_is_written(tmp_path: Path) -> None:
    """Where text is meant, a number, date or truth value is text as written."""
    text = HEAD.replace("name: Test", "name: 12, number: 007, owner: true, drawn_by: no")
    title = project_of(tmp_path, text).project
    assert (title.name, title.number, title.owner, title.drawn_by) == ("12", "007", "true", "no")
    assert (title.revision, title.date) == ("1.10", "2026-11-25")


def test_ids_are_the_keys_and_names_default_to_them(tmp_path: Path) -> None:
    """An entry's id is the key it stands under; people read its name, or the id where it has none."""
    project = project_of(tmp_path, HEAD + "locations: {locker: {name: Stern locker}, mast: {}}\n")
    assert [(place.id, place.name) for place in project.locations.values()] == [
        ("locker", "Stern locker"),
        ("mast", "mast"),
    ]


def test_units_end_at_the_reader(tmp_path: Path) -> None:
    """Quantities of any unit are plain numbers in the unit used inside."""
    text = HEAD.replace("thickness: 9", "thickness: 3/8 in").replace("depth: 100", "depth: 4 in")
    text += (
        "locations: {wall: {}, locker: {}}\nwireways:\n"
        "  down: {from: wall, to: locker, kind: free, length: 6 1/2 ft}\n"
        "devices: {lamp: {location: locker}}\n"
        "supplies: {battery: {kind: battery, voltage: 12 V, location: wall, resistance: 6 mohm}}\n"
        "circuits:\n"
        "  lamp: {from: battery/+, to: lamp, purpose: lights, drop_limit: 5 %, size: 14 AWG, load: {power: 35 W}}\n"
    )
    project = project_of(tmp_path, text)
    wall, lamp = project.panels["wall"], project.circuits["lamp"]
    assert (wall.thickness, wall.depth) == (9.525, 101.6)
    assert project.wireways["down"].length == pytest.approx(1981.2)
    assert (project.wireways["down"].from_, lamp.from_) == ("wall", "battery/+")
    assert (lamp.drop_limit, lamp.size) == (0.05, WireSize(awg="14"))
    assert project.supplies["battery"].resistance == pytest.approx(0.006)


def test_one_may_stand_for_a_list_of_one(tmp_path: Path) -> None:
    """A single panel, cut-out, body or class is a list of one."""
    text = HEAD + (
        "devices:\n  meter:\n    panel: wall\n    face: {circle: 60}\n    cutout: {circle: 52}\n"
        "    behind: {shape: {circle: 50}, depth: 40}\n    classes: dc\n    turns: 90\n"
    )
    meter = project_of(tmp_path, text).devices["meter"]
    assert (meter.panel, meter.classes, meter.turns) == (("wall",), ("dc",), (90,))
    assert meter.cutout == (Shape(circle=52.0),)
    assert [body.depth for body in meter.behind] == [40.0]


SHELF = """\
shelf:
  gauge:
    type: gauge-52
    behind: {shape: {circle: 50}, depth: 40}
    plug_room: {depth: 30, left: 4}
    terminals: {"+": {pole: "+"}, "-": {pole: "-"}}
    size_from: maker
"""


def test_own_key_wins_over_type_over_defaults(tmp_path: Path) -> None:
    """A device takes its own keys first, then its type's, then that type's type's, then the defaults."""
    text = HEAD + (
        "include: mine.yaml\ndefaults:\n"
        "  devices: {face_gap: 22, plug_room: {depth: 99, right: 7}, size_from: measured}\n"
        "devices:\n"
        "  a: {type: gauge, panel: wall}\n"
        "  b: {type: gauge, panel: wall, behind: {depth: 44}, face: {rect: [70, 70]}, face_gap: 3,\n"
        "    terminals: {out: {}}}\n"
        "  c: {type: gauge-52, panel: wall, behind: {shape: {circle: 50}, depth: 40}}\n"
    )
    a, b, c = project_of(tmp_path, text, told=("file 71", "file 71"), mine=SHELF).devices.values()
    assert (a.face, a.cutout) == (Shape(circle=60.0), (Shape(circle=52.4),))
    assert (a.face_gap, a.plug_room.depth, a.plug_room.left, a.plug_room.right) == (22.0, 30.0, 4.0, 7.0)
    assert (a.size_from, c.size_from) == ("maker", "catalogue")
    assert (b.face, b.face_gap, b.behind[0].depth, b.behind[0].shape) == (
        Shape(rect=(70.0, 70.0)),
        3.0,
        44.0,
        Shape(circle=50.0),
    )
    assert list(b.terminals) == ["out", "+", "-"]


def test_shelf_may_refine_a_catalogue_entry_of_its_name(tmp_path: Path) -> None:
    """An entry of the shelf that bears a catalogue name builds on the catalogue's and wins over it."""
    text = HEAD + (
        "shelf:\n  gauge-52: {type: gauge-52, cutout: {circle: 53}, behind: {shape: {circle: 51}, depth: 45}}\n"
        "devices:\n  meter: {type: gauge-52, panel: wall}\n"
    )
    meter = project_of(tmp_path, text).devices["meter"]
    assert (meter.face, meter.cutout) == (Shape(circle=60.0), (Shape(circle=53.0),))


def test_entries_know_their_place(tmp_path: Path) -> None:
    """Keys are located where they are written: in the device, on the shelf, or at the device for the catalogue's."""
    text = HEAD + "include: mine.yaml\ndevices:\n  meter:\n    type: gauge\n    panel: wall\n"
    project = project_of(tmp_path, text, mine=SHELF)
    where = {key: str(project.place_of(key)) for key in ("devices.meter.panel", "devices.meter.plug_room.left")}
    assert where == {"devices.meter.panel": "panel.yaml:9:5", "devices.meter.plug_room.left": "mine.yaml:5:28"}
    assert str(project.place_of("devices.meter.cutout.0")) == "panel.yaml:7:3"
    assert str(project.place_of("devices.meter.pin.x")) == "panel.yaml:7:3"


@pytest.mark.parametrize(
    ("outline", "corner"),
    [
        ("{rect: [400, 300]}", (0.0, 0.0, 400.0, 300.0)),
        ("{circle: 200}", (0.0, 0.0, 200.0, 200.0)),
        ("{path: [[0, 0], {at: [300, 0], radius: 20}, [300, 200], [0, 100]]}", (0.0, 0.0, 300.0, 200.0)),
    ],
)
def test_outline_starts_at_the_datum(outline: str, corner: tuple[float, ...], tmp_path: Path) -> None:
    """An outline's bounding box has its lower left corner at the datum, however it was declared."""
    project = project_of(tmp_path, HEAD.replace("{rect: [400, 300]}", outline))
    box = project.panels["wall"].outline.to_path().bounds()
    assert (box.x0, box.y0, box.x1, box.y1) == pytest.approx(corner)


def test_reading_is_the_same_from_anywhere(tmp_path: Path) -> None:
    """Findings name files from the project's folder, so that they are the same wherever it lies."""
    text = HEAD + "boat: {hul: grp}\n"
    found = []
    for name in ("one", "two/deep"):
        (tmp_path / name).mkdir(parents=True)
        (tmp_path / name / "panel.yaml").write_text(text)
        found.append(read(tmp_path / name / "panel.yaml").findings)
    assert found[0] == found[1]
    assert [str(finding.at) for finding in found[0]] == ["panel.yaml:5:8"]


def test_windows_line_ends_and_byte_order_mark(tmp_path: Path) -> None:
    """A file saved elsewhere, with CR LF and a byte order mark, reads the same."""
    (tmp_path / "panel.yaml").write_bytes(b"\xef\xbb\xbf" + HEAD.replace("\n", "\r\n").encode())
    reading = read(tmp_path / "panel.yaml")
    assert reading.findings == ()
    assert reading.project is not None
    assert str(reading.project.place_of("panels.wall")) == "panel.yaml:4:3"


def test_reader_imports_nothing_heavy() -> None:
    """Reading needs neither the solver nor the drawing nor the table libraries."""
    code = "import sys; import layout.project.reading.read as r; r.read(sys.argv[1]); print(*sorted(sys.modules))"
    command = [sys.executable, "-c", code, str(PROJECTS[-1])]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True, cwd=EXAMPLES.parent).stdout.split()
    heavy = {"ortools", "shapely", "reportlab", "ezdxf", "networkx", "numpy", "openpyxl", "wasmtime", "fontTools"}
    assert heavy & set(loaded) == set()


def test_an_inverter_has_posts_on_both_sides(tmp_path):
    """Its DC posts are named + and -, whether a device stands for it or not; a shore inlet has none."""
    text = (
        "spile: 2\nproject: {name: x}\nlocations: {locker: {}}\nsupplies:\n"
        "  bank: {kind: battery, voltage: 12 V, location: locker}\n"
        "  box: {kind: KIND, voltage: 230 V, location: locker}\n"
        "feeders:\n  to_box: {from: bank/+, to: box/+, length: 1 m}\n"
        "  back: {from: box/-, to: bank/-, poles: '-', length: 1 m}\n"
    )
    found = {}
    for kind in ("inverter", "shore"):
        (tmp_path / "x.yaml").write_text(text.replace("KIND", kind), encoding="utf-8")
        found[kind] = [finding.rule for finding in read(tmp_path / "x.yaml").findings]
    assert found == {"inverter": [], "shore": ["file 51", "file 51"]}
