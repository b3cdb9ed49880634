"""Whatever is done to a valid file, reading gives a project or findings, and never a traceback."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import given
from hypothesis import strategies as st

from layout.findings import as_json, as_lines
from layout.project.editing.flowtext import flow
from layout.project.editing.new_project import new_text
from layout.project.reading.nodes import compose
from layout.project.reading.read import read
from layout.project.reading.tree import leaves, plain_values
from tests.conftest import EXAMPLES

if TYPE_CHECKING:
    import random
    from pathlib import Path

    import pytest

TEXTS = [new_text(), *(path.read_text(encoding="utf-8") for path in sorted((EXAMPLES / "launch").glob("*.yaml")))]
LINES = [line for text in TEXTS for line in text.splitlines()]
ODD: list[Any] = [
    None, True, -1, 0, 1e9, 0.5, "", "no", "12 V", "1/0 in", "-3 mm", "x", "wall", "dc12/1", "電", "a/b", [], {}, [1],
    [[1, 2]], {"rect": [1, 2]}, {"circle": -1}, {"at": [1, 2]}, {"a": {"b": {"c": 1}}}, ["a", "a"], "9" * 30,
    "{circuit}", "class:dc",
]  # fmt: skip


def must_read(path: Path) -> None:
    """Read a file and hold the outcome to what is promised."""
    reading = read(path)
    assert reading.project is not None or reading.findings
    assert as_lines(reading.findings, sources=reading.sources) is not None
    assert len(as_json(reading.findings)) == len(reading.findings)


@given(st.sampled_from(TEXTS), st.randoms(use_true_random=False), st.integers(1, 6))
def test_broken_text(tmp_path_factory: pytest.TempPathFactory, text: str, rng: random.Random, count: int) -> None:
    """Characters cut, doubled or put anywhere in a file are reported or read."""
    for _ in range(count):
        at = rng.randrange(len(text) + 1)
        kind = rng.choice(["cut", "put", "line", "swap"])
        if kind == "cut":
            text = text[:at] + text[at + rng.randrange(1, 40) :]
        elif kind == "put":
            text = text[:at] + rng.choice("{}[]:,-#&*!|>'\"%@`\t\n ~0aΩ") + text[at:]
        elif kind == "line":
            lines = text.splitlines()
            lines.insert(rng.randrange(len(lines) + 1), rng.choice(LINES))
            text = "\n".join(lines)
        else:
            other = rng.randrange(len(text) + 1)
            text = text[:at] + text[other : other + 30] + text[at:]
    path = tmp_path_factory.mktemp("fuzz") / "panel.yaml"
    path.write_text(text, encoding="utf-8")
    must_read(path)


def whole(name: str) -> Any:
    """Return a project's data with its includes put in."""
    from layout.project.reading.include import read_files

    tree = read_files(EXAMPLES / name).tree
    assert tree is not None
    return plain_values(tree)


DATA = [plain_values(compose(new_text(), "new")[0] or ()), whole("launch/launch.yaml")]  # type: ignore[arg-type]


@given(st.sampled_from([0, 1]), st.randoms(use_true_random=False), st.integers(1, 5))
def test_odd_values(tmp_path_factory: pytest.TempPathFactory, which: int, rng: random.Random, count: int) -> None:
    """Any value of a project replaced, any key renamed or dropped, is reported or read."""
    import copy

    data = copy.deepcopy(DATA[which])
    for _ in range(count):
        owner = rng.choice(tables(data))
        name = rng.choice(list(owner) if isinstance(owner, dict) else list(range(len(owner))))
        kind = rng.choice(["value", "value", "drop", "rename"])
        if kind == "value":
            owner[name] = rng.choice(ODD)
        elif kind == "drop" or isinstance(owner, list):
            del owner[name]
        else:
            owner[rng.choice(["odd", "id", "from", "rect", f"{name}s"])] = owner.pop(name)
    path = tmp_path_factory.mktemp("fuzz") / "panel.yaml"
    path.write_text("".join(f"{key}: {flow(value)}\n" for key, value in data.items()), encoding="utf-8")
    must_read(path)


def tables(value: Any) -> list[Any]:
    """Return all tables and lists of some data that hold anything."""
    found = [value] if isinstance(value, dict | list) and value else []
    entries = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return found + [inner for entry in entries for inner in tables(entry)]


def test_every_value_of_a_project_may_be_wrong(tmp_path: Path) -> None:
    """Each single value of the new project replaced by a list, a table, text or nothing is reported at its own line."""
    tree, _ = compose(new_text(), "panel.yaml")
    assert tree is not None
    lines = new_text().splitlines()
    path = tmp_path / "panel.yaml"
    for _key, leaf in list(leaves(tree))[::3]:
        line = lines[leaf.at.line - 1]
        start = leaf.at.column - 1
        end = start + len(leaf.text) + (2 if line[start] in "\"'" else 0)
        for odd in ("[[]]", "{q: 1}"):
            changed = [*lines[: leaf.at.line - 1], line[:start] + odd + line[end:], *lines[leaf.at.line :]]
            path.write_text("\n".join(changed), encoding="utf-8")
            findings = read(path).findings
            assert any(finding.at.line == leaf.at.line for finding in findings), (line, odd, as_lines(findings))
