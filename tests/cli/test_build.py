"""``spile build``: everything, the same every time, and what is chosen is never solved again."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.running import python, spile

if TYPE_CHECKING:
    from tests.conftest import Built


def contents(folder: Path) -> dict[str, bytes]:
    """Return all files of a folder by name."""
    return {
        file.relative_to(folder).as_posix(): file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file()
    }


def numbers(register: Path) -> dict[str, int]:
    """Return the wire numbers that a register holds."""
    from layout.project.register import load

    loaded, faults = load(register)
    assert loaded is not None, faults
    return dict(loaded.numbers)


def test_documents_are_all_there(launch: Built) -> None:
    """The launch gives drawing, template and machine file of each panel, schedule, labels, tests and the pack."""
    assert launch.ran.code == launch.ran.data["exit"]
    names = [Path(name).relative_to(launch.out).as_posix() for name in launch.ran.data["files"]]
    assert sorted([*names, "contents.json"]) == sorted(contents(launch.out))
    for panel in ("console", "board"):
        assert {f"drawings/{panel}-1.svg", f"templates/{panel}-one-sheet.pdf", f"machine/{panel}.dxf"} <= set(names)
    assert {
        "electrician.pdf", "workshop.pdf", "shopping.pdf", "reckoning.pdf", "csv/schedule.csv", "csv/lists.xlsx",
        "templates/labels.pdf", "csv/still-to-find-out.csv",
    } <= set(names)  # fmt: skip
    assert all(content for content in contents(launch.out).values())


def test_same_bytes_in_another_process_and_folder(launch: Built, tmp_path: Path) -> None:
    """With the arrangement that is chosen, another hash seed, folder and process give the same bytes everywhere."""
    file = launch.copy(tmp_path / "other place")
    ran = python("-m", "layout", "build", file, "--out", tmp_path / "papers", "--quiet", hash_seed="4711")
    assert ran.code == launch.ran.code, ran.err
    assert contents(tmp_path / "papers") == contents(launch.out)
    assert file.with_name(launch.register.name).read_bytes() == launch.register.read_bytes()


def test_same_bytes_from_scratch(wall: Built, tmp_path: Path) -> None:
    """Solved again from nothing, all comes out the same: work is counted, and no clock has a say."""
    file = wall.copy(tmp_path / "wall")
    register = file.with_name(wall.register.name)
    register.unlink()
    ran = python(
        "-m", "layout", "build", file, "--effort", "quick", "--out", tmp_path / "out", "--quiet", hash_seed="77"
    )
    assert ran.code == wall.ran.code, ran.err
    assert register.read_bytes() == wall.register.read_bytes()
    assert contents(tmp_path / "out") == contents(wall.out)


def test_chosen_is_not_solved_again(wall: Built, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A build of a project with an arrangement never calls the solver, whatever the wishes are now."""
    file = wall.copy(tmp_path / "wall")
    text = file.read_text(encoding="utf-8").replace("point: [110, 240]", "point: [350, 60]")
    file.write_text(text, encoding="utf-8")

    def solved(*_: object, **__: object) -> None:
        raise AssertionError("the solver was called")

    monkeypatch.setattr("layout.placing.place.place", solved)
    ran = spile("build", file, "--out", tmp_path / "out", "--json")
    assert ran.code == 0
    assert "arrangements" not in ran.data


CHANGES = [
    ("face: {rect: [185, 60], radius: 5}", "face: {rect: [285, 60], radius: 5}", "device Radio with handset changed"),
    ("outline: {rect: [460, 300], radius: 12}", "outline: {rect: [360, 300], radius: 12}", "panel Wall panel changed"),
    ("  face_gap: 12", "  face_gap: 60", "the set of rules changed"),
    (
        "\nrules:",
        "\n  extra: {name: Extra, type: gauge-52, panel: wall, behind: {shape: {circle: 50}, depth: 40}}\n\nrules:",
        "device Extra is new",
    ),
]
"""What is written instead of what, and what the finding says changed."""


@pytest.mark.parametrize(("old", "new", "said"), CHANGES, ids=lambda value: value.strip()[:24])
def test_chosen_that_no_longer_fits_is_an_error(wall: Built, tmp_path: Path, old: str, new: str, said: str) -> None:
    """A change under the chosen arrangement that breaks a rule is an error that names it; the register stays."""
    file = wall.copy(tmp_path / "wall")
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    ran = spile("build", file, "--out", tmp_path / "out", "--json")
    assert ran.code == 1
    found = [finding["message"] for finding in ran.data["findings"] if finding["rule"] == "fit 8"]
    assert len(found) == 1
    assert found[0].startswith("the chosen arrangement no longer fits: ")
    assert found[0].endswith(f"since it was made: {said}")
    assert any(rule.startswith("panel ") for rule in ran.rules)
    kept = file.with_name(wall.register.name).read_text(encoding="utf-8")
    assert kept[kept.index("placed:") :].split("proposals:")[0] in wall.register.read_text(encoding="utf-8")


def test_renaming_changes_no_number_and_no_place(wall: Built, tmp_path: Path) -> None:
    """A device's name may change: its number, its place and the verdict stay."""
    file = wall.copy(tmp_path / "wall")
    text = file.read_text(encoding="utf-8").replace("name: Radio with handset", "name: Workshop radio")
    file.write_text(text, encoding="utf-8")
    ran = spile("build", file, "--out", tmp_path / "out", "--json")
    assert ran.code == 0
    assert numbers(file.with_name(wall.register.name)) == numbers(wall.register)
    assert "Workshop radio" in (tmp_path / "out" / "csv" / "schedule.csv").read_text(encoding="utf-8")


def test_numbers_survive_edits(wall: Built, tmp_path: Path) -> None:
    """A new circuit gets a new number and changes no old one; a removed one keeps its number for ever."""
    file, out = wall.copy(tmp_path / "wall"), tmp_path / "out"
    register = file.with_name(wall.register.name)
    before = numbers(register)
    text = file.read_text(encoding="utf-8")
    start = text.index("  usb:\n    name: Charging socket\n    from:")
    usb = text[start : text.index("  meter:\n    name: Battery voltmeter\n    from:")]
    without = text.replace(usb, "").replace("circuit: usb, ", "")
    file.write_text(without, encoding="utf-8")
    assert spile("build", file, "--out", out).code == 0
    assert numbers(register) == before
    retired = register.read_text(encoding="utf-8").split("retired:")[1]
    assert "  - circuits.usb\n" in retired
    bell = usb.replace("usb", "bell", 1).replace("Charging socket", "Second charging socket")
    way = "5: {rating: 5 A, circuit: bell, breaking_capacity: 1.5 kA, trips_at: 6}"
    more = without.replace("5: {rating: 5 A, free: true}", way)
    file.write_text(more.rstrip() + "\n" + bell.replace("ways_12/3", "ways_12/5"), encoding="utf-8")
    assert spile("build", file, "--out", out, "--json").code == 0
    now = numbers(register)
    assert {key: now[key] for key in before} == before
    assert now["circuits.bell"] not in {number for key, number in before.items() if ":" not in key}
    with (out / "csv" / "schedule.csv").open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert any("Second charging socket" in " ".join(row.values()) for row in rows)


def test_missing_facts_still_give_a_template(wall: Built, tmp_path: Path) -> None:
    """Without any load known the build is code 1 and still writes template, schedule and the list of open questions."""
    file = wall.copy(tmp_path / "wall")
    lines = [line for line in file.read_text(encoding="utf-8").splitlines() if not line.startswith("    load:")]
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    ran = spile("build", file, "--out", tmp_path / "out", "--json")
    assert ran.code == 1
    assert ran.rules.count("wire 1") >= 4
    names = set(contents(tmp_path / "out"))
    assert {"templates/wall-A4-front.pdf", "csv/schedule.csv", "csv/still-to-find-out.csv"} <= names


def test_folder_that_fills_up_leaves_whole_files(wall: Built, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk fills up the build ends with 2, and every file in the folder is an old or a new one, whole."""
    file, out = wall.copy(tmp_path / "wall"), tmp_path / "out"
    (out / "csv").mkdir(parents=True)
    (out / "csv" / "schedule.csv").write_text("old", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.replace", full)
    ran = spile("schedule", file, "--out", out, "--json")
    assert (ran.code, ran.rules[-1:]) == (2, ["file 92"])
    assert "no space left on device" in ran.data["findings"][-1]["message"]
    assert contents(out) == {"csv/schedule.csv": b"old"}
