"""The register: what is remembered stays, and nothing is overwritten by guess."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.project import register
from layout.project.issued import issued_fault
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.register import Register, backup_path, load, parse_register, register_path, render, save

if TYPE_CHECKING:
    from pathlib import Path

ARRANGEMENT = Arrangement(
    placed={
        "radio": Placed(device="radio", panel="wall", x=120.0, y=40.5, turn=90),
        "meter": Placed(device="meter", panel="wall", x=-0.25, y=1e-7),
    },
    value=123.456,
    by_wish={"near point": 100.0, "aligned": 23.456},
    proof="within",
    bound=120.0,
    gap=0.0279,
    seed=7,
    work=1.5,
    clock_struck=True,
    made_of={"devices.radio": "a1b2c3d4", "panels.wall": "0f1e2d3c"},
)
FULL = Register(
    numbers={"circuits.lamp": 1, "circuits.lamp:": 1, "circuits.pump": 2, "circuits.pump:float": 1},
    retired=("circuits.pump", "circuits.pump:float"),
    labels={"circuits.lamp:+": ("001a+", "Lampe 001a+")},
    arrangement=ARRANGEMENT,
)


def test_what_is_saved_is_loaded(tmp_path: Path) -> None:
    """A register that was saved loads as it was, beside the project and under its name."""
    path = register_path(tmp_path / "launch.yaml")
    assert path == tmp_path / "launch.register.yaml"
    assert save(path, FULL) == ()
    loaded, findings = load(path)
    assert (loaded, findings) == (FULL, ())
    assert [entry.name for entry in tmp_path.iterdir()] == ["launch.register.yaml"]


def test_missing_register_is_an_empty_one(tmp_path: Path) -> None:
    """A project without a register starts with nothing to remember."""
    assert load(tmp_path / "none.register.yaml") == (Register(), ())


def test_text_is_sorted_and_the_same_for_the_same_content() -> None:
    """The order in which things were put in leaves no trace in the file."""
    turned = Register(
        numbers=dict(reversed(FULL.numbers.items())),
        retired=FULL.retired[::-1],
        labels=FULL.labels,
        arrangement=Arrangement(
            **{
                name: getattr(ARRANGEMENT, name)
                for name in ("value", "by_wish", "proof", "bound", "gap", "seed", "work")
            },
            clock_struck=True,
            made_of={"devices.radio": "a1b2c3d4", "panels.wall": "0f1e2d3c"},
            placed=dict(reversed(ARRANGEMENT.placed.items())),
        ),
    )
    assert render(turned) == render(FULL)
    assert "    meter: {device: meter, panel: wall, x: -0.25, y: 0.0000001, turn: 0}\n" in render(FULL)


def test_unchanged_register_is_not_touched(tmp_path: Path) -> None:
    """Saving the same content again leaves the very same file."""
    path = tmp_path / "panel.register.yaml"
    save(path, FULL)
    before = path.stat()
    assert save(path, FULL) == ()
    assert path.stat().st_ino == before.st_ino


@pytest.mark.parametrize(
    ("text", "line", "why"),
    [
        ("", 0, "'r.yaml' holds nothing but comments"),
        ("- 1\n", 0, "it holds no table"),
        ("numbers: {}\n", 1, "it does not say its version (spile_register)"),
        ("spile_register: one\n", 1, "it does not say its version (spile_register)"),
        (
            "spile_register: 1\nnumbers: {circuits.a: 1, circuits.b: 1}\n",
            2,
            "'circuits.b' has the number 1 of 'circuits.a'",
        ),
        ("spile_register: 1\nnumbers: {c: x}\n", 2, "numbers.c: expected a whole number, found 'x'"),
        ("spile_register: 0\n", 1, "there is no version 0"),
        ("spile_register: 2\nnumbers: {c: 1}\n", 2, "it ends too early: its last line ('sealed') is missing"),
        (
            "spile_register: 2\nnumbers: {c: 1}\nsealed: x0\n",
            3,
            "it is not as it was written: a line was changed, lost or added",
        ),
        (
            "spile_register: 1\nnumbers: {c: -5}\n",
            2,
            "numbers.c: expected a whole number of at least 1, found '-5'",
        ),
        ("spile_register: 1\nnumbers: {c: 0}\n", 2, "numbers.c: expected a whole number of at least 1, found '0'"),
        (
            "spile_register: 1\nnumbers: {c: 1000000000000}\n",
            2,
            "numbers.c: expected a whole number of at most 999999, found '1000000000000'",
        ),
        (
            "spile_register: 1\narrangement:\n  placed: {a: {device: a, panel: p, x: 1, y: 10001}}\n",
            3,
            "arrangement.placed.a.y: expected a number of at most 10000, found '10001'",
        ),
        (
            "spile_register: 1\nissued: {A: oops}\n",
            2,
            "what revision 'A' issued can't be read: it is no JSON text",
        ),
        ("spile_register: 1\nnumber: {}\n", 2, "unknown key 'number' at the top of the file"),
        (
            "spile_register: 1\narrangement:\n  placed: {a: {device: a, panel: p, x: 1}}\n",
            3,
            "'arrangement.placed.a' lacks the key 'y'",
        ),
        (
            "spile_register: 1\narrangement:\n  placed: {}\n  proof: perfect\n",
            4,
            "arrangement.proof: expected one of optimal, optimal for this order, within, feasible, not usable, "
            "found 'perfect'",
        ),
    ],
)
def test_damage_is_located(text: str, line: int, why: str) -> None:
    """A damaged register is reported at its line with the reason, and gives no register."""
    found, findings = parse_register(text, "r.yaml")
    assert found is None
    assert [(fault.rule, fault.at.line, fault.message) for fault in findings] == [
        ("file 80", line, f"the register 'r.yaml' is damaged: {why}")
    ]


@pytest.mark.parametrize("text", ["spile_register: 99\nnew: things\n", "numbers: [\n", "\xff", ""])
def test_what_is_not_understood_is_never_overwritten(text: str, tmp_path: Path) -> None:
    """Saving over a damaged or newer register is refused with the reason, and the file stays as it was."""
    path = tmp_path / "panel.register.yaml"
    path.write_text(text, encoding="latin-1")
    assert [fault.rule for fault in save(path, FULL)] in (["file 80"], ["file 81"])
    assert path.read_text(encoding="latin-1") == text


def test_numbers_are_for_life() -> None:
    """A key that has gone is retired and keeps its number; losing or changing a number is refused."""
    first = Register().with_numbers({"circuits.a": 1, "circuits.b": 2}, in_use=["circuits.a", "circuits.b"])
    later = first.with_numbers({"circuits.a": 1, "circuits.b": 2, "circuits.c": 3}, in_use=["circuits.a", "circuits.c"])
    assert (later.numbers, later.retired) == ({"circuits.a": 1, "circuits.b": 2, "circuits.c": 3}, ("circuits.b",))
    for lost in ({"circuits.a": 1}, {"circuits.a": 2, "circuits.b": 1}):
        with pytest.raises(ValueError, match="the register only grows"):
            first.with_numbers(lost, in_use=["circuits.a"])


def test_labels_remember_what_was_printed() -> None:
    """A new label text is added after the old ones; the same text again adds nothing."""
    memory = (
        Register().with_labels({"a:+": "001+"}).with_labels({"a:+": "001+"}).with_labels({"a:+": "1+", "b:+": "2+"})
    )
    assert memory.labels == {"a:+": ("001+", "1+"), "b:+": ("2+",)}


def test_failed_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """If the disk fails in the middle, the old register is whole and no half file is left."""
    path = tmp_path / "panel.register.yaml"
    save(path, FULL)
    before = path.read_bytes()

    def fail(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", fail)
    findings = save(path, Register())
    assert [(fault.rule, fault.message) for fault in findings] == [
        ("file 82", "the register 'panel.register.yaml' can't be written: no space left on device")
    ]
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


keys = st.text("abc.:/ +-é\"'#", min_size=1, max_size=8)
registers = st.builds(
    Register,
    labels=st.dictionaries(keys, st.lists(keys, min_size=1, max_size=3).map(tuple), max_size=3),
    retired=st.lists(keys, max_size=3, unique=True).map(lambda names: tuple(sorted(names))),
    arrangement=st.none()
    | st.builds(
        Arrangement,
        placed=st.dictionaries(
            keys,
            st.builds(Placed, device=keys, panel=keys, x=st.floats(-1e4, 1e4), y=st.floats(-1e4, 1e4)),
            max_size=3,
        ),
        value=st.floats(0, 1e12),
        made_of=st.dictionaries(keys, keys, max_size=3),
    ),
)


@given(registers)
def test_any_register_survives(memory: Register) -> None:
    """Whatever names and figures a register holds, its text reads as the same register."""
    assert parse_register(render(memory), "r.yaml") == (memory, ())


def test_just_legal_numbers_are_read() -> None:
    """The first and the last number that a wire may have, and a place at the edge of the largest panel, pass."""
    placed = "arrangement: {placed: {a: {device: a, panel: p, x: 10000, y: -10000}}}"
    found, findings = parse_register(f"spile_register: 1\nnumbers: {{a: 1, b: 999999}}\n{placed}\n", "r.yaml")
    assert findings == ()
    assert found is not None
    assert found.numbers == {"a": 1, "b": 999_999}


def test_no_beginning_of_a_register_reads_as_a_whole_one() -> None:
    """Cut at the end of any line, or anywhere in its last lines, a register is refused and not read with less in it."""
    text = render(FULL)
    lines = text.splitlines(keepends=True)
    for count in range(len(lines)):
        found, findings = parse_register("".join(lines[:count]), "r.yaml")
        assert found is None
        assert {one.rule for one in findings} == {"file 80"}
    for size in range(len(text) - 60, len(text)):
        assert parse_register(text[:size], "r.yaml")[0] is None


@given(st.data())
def test_no_changed_line_passes(data: st.DataObject) -> None:
    """A line that was left out, doubled or changed in one sign is found by the seal, or before."""
    lines = render(FULL).splitlines(keepends=True)
    at = data.draw(st.integers(0, len(lines) - 1))
    line = lines[at]
    sign = data.draw(st.integers(0, len(line) - 2))
    changed = data.draw(st.sampled_from(["", line + line, line[:sign] + "7" + line[sign + 1 :]]))
    text = "".join((*lines[:at], changed, *lines[at + 1 :]))
    assert (parse_register(text, "r.yaml")[0] is None) == (text != render(FULL))


def test_line_ends_of_another_system_are_no_damage() -> None:
    """A register that was checked out with other line ends reads as it was."""
    assert parse_register(render(FULL).replace("\n", "\r\n"), "r.yaml") == (FULL, ())


def test_the_last_good_register_is_kept(tmp_path: Path) -> None:
    """Beside a new register stands the one before it, whole, under the name that a damaged one's message gives."""
    path = tmp_path / "panel.register.yaml"
    assert save(path, FULL) == ()
    assert not backup_path(path).exists()
    later = FULL.with_numbers({**FULL.numbers, "circuits.new": 3}, in_use=FULL.numbers)
    assert save(path, later) == ()
    assert load(backup_path(path)) == (FULL, ())
    path.write_text(path.read_text(encoding="utf-8")[:-9], encoding="utf-8")
    (fault,) = load(path)[1]
    assert fault.remedy is not None
    assert backup_path(path).name in fault.remedy


def test_what_another_command_wrote_is_not_undone(tmp_path: Path) -> None:
    """A register that changed since it was read is not written over; the other command's numbers stay."""
    path = tmp_path / "panel.register.yaml"
    save(path, FULL)
    other = FULL.with_numbers({**FULL.numbers, "circuits.other": 3}, in_use=FULL.numbers)
    assert save(path, other, known=FULL) == ()
    mine = FULL.with_numbers({**FULL.numbers, "circuits.mine": 3}, in_use=FULL.numbers)
    assert [fault.rule for fault in save(path, mine, known=FULL)] == ["file 83"]
    assert load(path) == (other, ())


STATE = {
    "devices": {"radio": {"name": "Radio", "panel": "wall", "x": 1.5, "y": 2, "turn": 90}},
    "wires": {
        "circuits.lamp": {
            "number": "001", "name": "Lamp", "from": "a", "to": "b", "size": "1 mm2", "colours": ["RD"],
            "length_m": None, "fuse": "", "route": ["duct"],
        }
    },
    "ways": {"dc/1": {"name": "Lamp", "rating": 10}},
}  # fmt: skip


def test_issued_states_are_checked_through_and_through() -> None:
    """A state passes as it is handed over; without any one of its keys, or with another kind of value, it does not."""
    assert issued_fault(json.dumps(STATE)) is None
    for part, entries in STATE.items():
        for name, entry in entries.items():
            for key in entry:
                less = {k: v for k, v in entry.items() if k != key}
                for wrong in (less, {**entry, key: {}}, {**entry, key: True}):
                    why = issued_fault(json.dumps({**STATE, part: {name: wrong}}))
                    assert why == f"'{key}' of {part} '{name}' is missing or of another kind"
        assert issued_fault(json.dumps({**STATE, part: []})) == f"it has no table '{part}'"
        assert issued_fault(json.dumps({**STATE, part: {"x": 1}})) == f"{part} 'x' is no table"
    assert issued_fault("[]") == "it holds no table"
    assert issued_fault("[" * 100_000) == "it is no JSON text"
    assert issued_fault('{"devices": NaN}') == "it is no JSON text"


def test_version_is_written() -> None:
    """The file says the version of its form, first of all."""
    assert render(Register()).splitlines()[1] == f"spile_register: {register.VERSION}"
