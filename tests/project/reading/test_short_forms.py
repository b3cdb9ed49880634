"""What is said the short way reads as what is said in full, stands where it is written, and is never guessed."""

from __future__ import annotations

import copy
import random
from typing import TYPE_CHECKING, Any

import pytest

from layout.findings import as_lines
from layout.project.editing.edit import EditError, edit_project
from layout.project.editing.flowtext import flow
from layout.project.editing.new_project import new_text
from layout.project.reading.include import read_files
from layout.project.reading.read import read
from layout.project.reading.short_forms import written_out
from layout.project.reading.tree import plain_values
from tests.conftest import EXAMPLES, ROOT
from tests.project.reading.test_schema import validator

if TYPE_CHECKING:
    from pathlib import Path

    from layout.project.model.project import Project

BARE = {
    ("breaker_panels", "*", "ways", "*"): ({"rating"},),
    ("devices", "*", "plug_room"): ({"depth"},),
    ("shelf", "*", "plug_room"): ({"depth"},),
    ("circuits", "*", "load"): ({"current"}, {"power"}),
    ("energy", "situations", "*", "uses", "*"): ({"hours"}, {"between"}),
    ("energy", "situations", "*", "sources", "*"): ({"hours"}, {"between"}),
}
"""Where a bare value may stand, and the tables of one key that it may stand for: written down here by hand."""


def shortened(data: Any, dice: random.Random, chance: float) -> Any:
    """Return plain data of a project with some of what can be said short said so."""
    short = copy.deepcopy(data)
    for panel in short.get("breaker_panels", {}).values():
        ways = panel.get("ways", {})
        first, *others = list(ways.values()) or [{}]
        common = {key: said for key, said in first.items() if all(way.get(key) == said for way in others)}
        common = {key: said for key, said in common.items() if dice.random() < chance}
        if common:
            left = {id_: {key: way[key] for key in way if key not in common} for id_, way in ways.items()}
            panel["ways"] = {"all": common, **left}
    for pattern, tables in BARE.items():
        for owner, key in _entries(short, pattern):
            if isinstance(owner[key], dict) and set(owner[key]) in tables and dice.random() < chance:
                (said,) = owner[key].values()
                is_list = isinstance(said, list)
                owner[key] = said if not is_list else said[0] if len(said) == 1 else owner[key]
    return short


def _entries(data: Any, pattern: tuple[str, ...]) -> list[tuple[Any, str]]:
    if not isinstance(data, dict):
        return []
    keys = list(data) if pattern[0] == "*" else [key for key in data if key == pattern[0]]
    if len(pattern) == 1:
        return [(data, key) for key in keys]
    return [entry for key in keys for entry in _entries(data[key], pattern[1:])]


def project_of(folder: Path, data: Any) -> Project:
    """Read plain data as a project."""
    file = folder / "panel.yaml"
    file.write_text("\n".join(f"{key}: {flow(value)}" for key, value in data.items()), encoding="utf-8")
    reading = read(file)
    assert reading.project is not None, as_lines(reading.findings)
    return reading.project


@pytest.mark.parametrize("name", ["launch/launch", "canal_barge", "hire_cruiser"])
def test_short_reads_as_long(name: str, tmp_path: Path) -> None:
    """Whichever entries of a whole project are said short, the project is the same one, and an editor takes it."""
    tree = read_files(EXAMPLES / f"{name}.yaml").tree
    assert tree is not None
    data = plain_values(written_out(tree)[0])
    long = project_of(tmp_path, data)
    assert read(EXAMPLES / f"{name}.yaml").project == long
    for chance in (1.0,) if name.startswith("launch") else (1.0, 0.5):
        short = shortened(data, random.Random(7), chance)
        assert short != data
        assert project_of(tmp_path, short) == long
        assert list(validator("project.schema.json").iter_errors(short)) == []


def changed(folder: Path, *pairs: tuple[str, str]) -> Path:
    """Write the new project with some of its text changed."""
    text = new_text()
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    file = folder / "panel.yaml"
    file.write_text(text, encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("written", "line"),
    [
        (("load: 10 W", "load: 10"), "circuits.lamp.load: expected a current like 1.5 A (current), or"),
        (("load: 10 W", "load: 10 V"), "circuits.lamp.load: expected a current like 1.5 A (current), or"),
        (("plug_room: 40", "plug_room: deep"), "devices.fuses.plug_room: expected a length like"),
        (("plug_room: 40", "plug_room: true"), "devices.fuses.plug_room: expected a length like"),
        (("plug_room: 40", "plug_room: -1"), "devices.fuses.plug_room.depth: "),
        (("1: 5 A,", "1: 5,"),
         "breaker_panels.dc12.ways.1: expected a current like 1.5 A (rating), or"),
    ],
)  # fmt: skip
def test_what_is_not_clear_is_refused_where_it_stands(written: tuple[str, str], line: str, tmp_path: Path) -> None:
    """A bare value whose unit does not tell what it is, or is none of the record's, is no guess but a message."""
    file = changed(tmp_path, written)
    number = next(n for n, text in enumerate(file.read_text().splitlines(), 1) if written[1] in text)
    reading = read(file)
    assert reading.project is None
    assert [(finding.at.line, finding.message.startswith(line)) for finding in reading.findings] == [(number, True)]


def test_units_tell_the_keys_of_a_bare_value_apart(tmp_path: Path) -> None:
    """``36 W`` is a power, ``3 A`` a current, 4 h hours and a span of the day a span."""
    file = changed(tmp_path, ("load: 0.1 A", "load: 100 mA"))
    with file.open("a") as more:
        more.write("energy: {situations: {day: {uses: {lamp: 18:00-22:00, meter: 24 h, charging: 2 h}}}}\n")
    project = read(file).project
    assert project is not None
    assert project.energy is not None
    uses = project.energy.situations["day"].uses
    loads = {key: circuit.load for key, circuit in project.circuits.items() if circuit.load is not None}
    assert (loads["charging"].power, loads["charging"].current) == (36.0, None)
    assert (loads["meter"].power, loads["meter"].current) == (None, 0.1)
    assert (uses["lamp"].hours, uses["lamp"].between) == (None, ("18:00-22:00",))
    assert (uses["meter"].hours, uses["meter"].between) == (24.0, ())


ALL = "all: {kind: blade fuse, breaking_capacity: 2 kA, trips_at: 6}"
WAYS = (
    (
        f"ways: {{{ALL}, 1: 5 A, 2: 5 A, 3: 7.5 A,\n           4: {{rating: 5 A, free: true}}}}",
        f"ways:\n      {ALL}\n      1: 5 A\n      2: {{rating: 5 A, trips_at: 8}}\n      3: 7.5 A\n      4: 5 A",
    ),
)


def test_a_way_keeps_its_own_word_against_all(tmp_path: Path) -> None:
    """What ``all`` says holds for a way that says nothing of it; there is no way called ``all``."""
    project = read(changed(tmp_path, *WAYS)).project
    assert project is not None
    ways = project.breaker_panels["dc12"].ways
    assert list(ways) == ["1", "2", "3", "4"]
    assert [(way.kind, way.rating, way.trips_at) for way in ways.values()][:2] == [
        ("blade fuse", 5.0, 6.0), ("blade fuse", 5.0, 8.0),
    ]  # fmt: skip


def test_a_fault_in_all_is_reported_once_where_it_stands(tmp_path: Path) -> None:
    """One finding for ``all``, with the ways that took it over; a fault in one way stands at that way."""
    file = changed(
        tmp_path, *WAYS, ("all: {kind: blade fuse", "all: {kind: blade"), ("2: {rating: 5 A", "2: {rating: 5 V")
    )
    first, second = read(file).findings
    lines = file.read_text().splitlines()
    assert "all:" in lines[first.at.line - 1]
    assert [lines[place.line - 1].split(":")[0].strip() for place in first.related] == ["1", "2", "3", "4"]
    assert lines[second.at.line - 1].strip().startswith("2:")


@pytest.mark.parametrize(
    ("key", "value", "come"),
    [
        ("devices.fuses.plug_room.depth", 55, "plug_room: 55          # room"),
        ("devices.fuses.plug_room.left", 12, "plug_room: {depth: 40, left: 12}          # room"),
        ("devices.fuses.plug_room", {"depth": 30}, "plug_room: {depth: 30}          # room"),
        ("circuits.lamp.load.power", "12 W", "load: 12 W}"),
        ("circuits.lamp.load.continuous", True, "load: {power: 10 W, continuous: true}}"),
        ("breaker_panels.dc12.ways.1.rating", "7.5 A", "1: 7.5 A"),
        ("breaker_panels.dc12.ways.1.circuit", "lamp", "1: {rating: 5 A, circuit: lamp}"),
        ("devices.charging.behind.0.depth", 60, "behind: 60   # to the plug"),
        ("devices.charging.behind.depth", 60, "behind: 60   # to the plug"),
    ],
)
def test_an_entry_written_short_can_be_edited(key: str, value: object, come: str, tmp_path: Path) -> None:
    """A change of one figure stays short, another key makes a table of it; comments stay and the file reads."""
    short = (
        *WAYS,
        ("behind: {shape: {circle: 28}, depth: 50}", "behind: 50   # to the plug"),
    )  # fmt: skip
    file = changed(tmp_path, *short)
    before = file.read_text(encoding="utf-8").splitlines()
    edit_project(file, key, value)
    after = file.read_text(encoding="utf-8").splitlines()
    differing = [new for old, new in zip(before, after, strict=True) if old != new]
    assert len(differing) == 1
    assert come in differing[0]
    assert read(file).project is not None


def test_a_body_without_a_shape_fills_the_cutout(tmp_path: Path) -> None:
    """``behind: 50`` beside ``cutout: {circle: 29}`` is a body of 29 mm; without a cut-out it is refused."""
    tolerance = "    cutout_tolerance: {plus: 0.5, minus: 0.3}"
    device = f"cutout: {{circle: 29}}\n{tolerance}\n    behind: {{shape: {{circle: 28}}, depth: 50}}"
    project = read(changed(tmp_path, (device, "cutout: {circle: 29}\n    behind: 50"))).project
    assert project is not None
    (body,) = project.devices["charging"].behind
    assert (body.shape.circle, body.depth) == (29.0, 50.0)
    refused = read(changed(tmp_path, (device, "mount: surface\n    behind: 50")))
    assert [finding.message for finding in refused.findings] == ["'devices.charging.behind' lacks the key 'shape'"]


SHORT = """\
spile: 2
project: {name: Skiff}
panels: {wall: {outline: {rect: [400, 300]}, thickness: 9, material: plywood, depth: 100}}
shelf:
  plate: {face: {rect: [50, 40]}, cutout: {rect: [30, 20]}, behind: 30, fixings: [{corners: [42, 1 in], drill: 3}]}
devices:
  dist: {panel: wall, face: {rect: [90, 90]}, cutout: {rect: [70, 70]}, behind: 40}
  wash_switch: {type: plate, panel: wall, terminals: {in: {}, out: {}}}
locations: {bow: {}, locker: {}}
cables: {single: {insulation: 90 °C, sizes: {2.5 mm2: 3.6}}}
supplies: {house: {kind: battery, voltage: 12 V, location: locker}}
bus_bars: {plus: {pole: "+"}, minus: {pole: "-"}}
breaker_panels: {dc: {device: dist, voltage: 12 V, ways: {all: {trips_at: 8}, 1: 10 A, 2: 10 A}}}
defaults: {protection: {link fuse: {breaking_capacity: 10 kA, trips_at: 6}}}
feeders:
  lead: {name: Lead, from: house/+, to: plus, length: 1 m, return: [minus, house/-],
         protection: {kind: link fuse, rating: 60 A, trips_at: 5}}
  feed: {from: plus, to: dc/in, cable: single, protection: {kind: link fuse, rating: 40 A}}
circuits:
  wash: {name: Deck wash, from: dc/1, via: wash_switch, to: {location: bow, classes: motor}, purpose: pumps, load: 60 W}
  lamp: {from: dc/2, to: {location: bow}, purpose: cabin lights, load: 1 A}
  alarm: {from: plus, return: minus, to: {location: bow}, purpose: gas alarm, always_live: true, load: 0.2 A,
          protection: {kind: blade fuse, rating: 3 A}}
energy:
  banks: {house: {}}
  charging: {sun: {kind: solar, bank: house, supply: house}}
  situations: {day: {uses: {lamp: 2 h}, rest: off}, night: {uses: {lamp: 2 h}, off: alarm, rest: off}}
"""

LONG = """\
spile: 2
project: {name: Skiff}
panels: {wall: {outline: {rect: [400, 300]}, thickness: 9, material: plywood, depth: 100}}
shelf:
  plate:
    face: {rect: [50, 40]}
    cutout: {rect: [30, 20]}
    behind: {shape: {rect: [30, 20]}, depth: 30}
    fixings:
      - {at: [-21, 0.5 in], drill: 3}
      - {at: [21, 0.5 in], drill: 3}
      - {at: [-21, -0.5 in], drill: 3}
      - {at: [21, -0.5 in], drill: 3}
devices:
  dist: {panel: wall, face: {rect: [90, 90]}, cutout: {rect: [70, 70]}, behind: {shape: {rect: [70, 70]}, depth: 40}}
  wash_switch: {type: plate, panel: wall, terminals: {in: {}, out: {}}}
  wash: {name: Deck wash, location: bow, classes: motor}
  lamp: {location: bow}
  alarm: {location: bow}
locations: {bow: {}, locker: {}}
cables: {single: {insulation: 90 °C, sizes: {2.5 mm2: 3.6}}}
supplies: {house: {kind: battery, voltage: 12 V, location: locker}}
bus_bars: {plus: {pole: "+"}, minus: {pole: "-"}}
breaker_panels:
  dc: {device: dist, voltage: 12 V, ways: {1: {rating: 10 A, trips_at: 8}, 2: {rating: 10 A, trips_at: 8}}}
feeders:
  lead: {name: Lead, from: house/+, to: plus, length: 1 m,
         protection: {kind: link fuse, rating: 60 A, trips_at: 5, breaking_capacity: 10 kA}}
  lead_return: {name: Lead (-), from: minus, to: house/-, poles: "-", length: 1 m}
  feed: {from: plus, to: dc/in, cable: single,
         protection: {kind: link fuse, rating: 40 A, trips_at: 6, breaking_capacity: 10 kA}}
circuits:
  wash:
    name: Deck wash
    from: dc/1
    to: wash
    purpose: pumps
    load: {power: 60 W}
    legs:
      to_switch: {from: dc/1, to: wash_switch/in, pole: "+"}
      run: {from: wash_switch/out, to: wash/+, pole: switched}
      back: {from: wash/-, to: dc/-, pole: "-"}
  lamp: {from: dc/2, to: lamp, purpose: cabin lights, load: {current: 1 A}}
  alarm:
    from: plus
    to: alarm
    purpose: gas alarm
    always_live: true
    load: {current: 0.2 A}
    protection: {kind: blade fuse, rating: 3 A}
    legs:
      feed: {from: plus, to: alarm/+, pole: "+", always_live: true}
      back: {from: alarm/-, to: minus, pole: "-"}
energy:
  banks: {house: {}}
  charging: {sun: {kind: solar, bank: house, supply: house}}
  situations:
    day: {uses: {lamp: {hours: 2 h}}, off: [wash, alarm, sun]}
    night: {uses: {lamp: {hours: 2 h}}, off: [alarm, wash, sun]}
"""


def read_text(folder: Path, text: str) -> Any:
    """Read the text of a whole project."""
    file = folder / "panel.yaml"
    file.write_text(text, encoding="utf-8")
    return read(file)


def test_each_entry_said_in_short_is_the_one_in_full(tmp_path: Path) -> None:
    """Holes at corners, returns, switched loads, things elsewhere, the rest of a day: one project, short and long."""
    short, long = read_text(tmp_path, SHORT), read_text(tmp_path, LONG)
    assert long.project is not None
    assert short.project is not None
    for name in ("devices", "breaker_panels", "feeders", "circuits", "energy"):
        assert getattr(short.project, name) == getattr(long.project, name)
    assert short.project == long.project
    assert list(short.project.devices) == list(long.project.devices)
    assert list(short.project.feeders) == list(long.project.feeders)
    assert [finding.message for finding in short.findings] == [finding.message for finding in long.findings]


@pytest.mark.parametrize("key", ["circuits.wash.legs.run.to", "devices.wash.location", "feeders.lead_return.from"])
def test_what_is_made_stands_where_the_short_entry_does(key: str, tmp_path: Path) -> None:
    """A finding about an entry that is made points at the line that says it in short."""
    project = read_text(tmp_path, SHORT).project
    owner = key.split(".")[1].removesuffix("_return")
    assert f"{owner}:" in SHORT.splitlines()[project.place_of(key).line - 1]
    with pytest.raises(EditError, match="is said in short"):
        edit_project(tmp_path / "panel.yaml", key, "locker")
    assert (tmp_path / "panel.yaml").read_text(encoding="utf-8") == SHORT


@pytest.mark.parametrize(
    ("old", "new", "rule", "message"),
    [
        ("  feed: {from", "  wash_return: {from: minus, to: house/-}\n  feed: {from", None, ""),
        ("  feed: {from", "  lead_return: {from: minus, to: house/-}\n  feed: {from", "file 47",
         "the feeder 'lead_return' is declared too"),
        ("  dist: {panel", "  lamp: {location: bow}\n  dist: {panel", "file 47", "the device 'lamp' is declared too"),
        ("via: wash_switch,", "via: wash_switch, legs: {a: {from: dc/1, to: wash}},", "file 47",
         "circuits.wash: says both via and legs"),
        ("return: minus, to: {location: bow}", "via: wash_switch, to: {location: bow}", "file 47",
         "circuits.alarm: 'plus' is no breaker panel, so where the - leads back to is open"),
        ("return: minus, to: {location: bow}", "return: minus, to: house/+", "file 47",
         "circuits.alarm: return goes with the + and - of a thing, and to names one terminal of it"),
        ("dc: {device: dist,", "dc: {device: dist, ac: true,", "file 47",
         "circuits.wash: via is for direct current, and 'dc' is alternating"),
        ("corners: [42, 1 in]", "corners: [42, 1 in], at: [0, 0]", "file 47", "a fixing says both corners and at"),
        ("corners: [42, 1 in]", "corners: [42, -1]", "file 33", "shelf.plate.fixings.0.corners.1: "),
        ("corners: [42, 1 in]", "corners: 42", "file 34", "shelf.plate.fixings.0.corners: expected a list of 2"),
        ("return: [minus, house/-]", "return: minus", "file 34", "feeders.lead.return: expected a list of 2"),
        ("return: [minus, house/-]", "return: [minuss, house/-]", "file 50", "feeders.lead_return.from: nothing is"),
        ("rest: off}, night", "rest: on}, night", "file 35", "energy.situations.day.rest: expected off, found 'on'"),
        ("link fuse: {breaking", "link fuses: {breaking", "file 35", "there is no kind of protective device 'link fus"),
        ("via: wash_switch", "via: [wash_switch]", "file 34", "circuits.wash.via: expected text"),
        ("via: wash_switch", "via: wash_switches", "file 50", "circuits.wash.legs.to_switch.to: nothing is called"),
    ],
)  # fmt: skip
def test_a_short_form_that_is_not_clear_is_refused(
    old: str, new: str, rule: str | None, message: str, tmp_path: Path
) -> None:
    """Said twice, half said or of the wrong kind: the message stands at the short entry; the first row is legal."""
    assert old in SHORT
    text = SHORT.replace(old, new)
    reading = read_text(tmp_path, text)
    if rule is None:
        assert reading.project is not None
        return
    assert reading.project is None
    (row,) = [finding for finding in reading.findings if finding.message.startswith(message)]
    assert row.rule == rule
    key = old.split(":", maxsplit=1)[0].strip()
    assert key in text.splitlines()[row.at.line - 1] or rule == "file 47"


def test_a_panel_of_18_devices_and_21_circuits_takes_250_lines_at_most() -> None:
    """An invented helm panel, whole with its wiring, places and cables; its file is found fault with nowhere."""
    file = ROOT / "tests" / "project" / "written" / "helm_panel.yaml"
    reading = read(file)
    assert reading.findings == ()
    assert reading.project is not None
    on_panel = [device for device in reading.project.devices.values() if device.panel]
    assert (len(on_panel), len(reading.project.circuits)) == (18, 21)
    assert len(file.read_text(encoding="utf-8").splitlines()) <= 250
