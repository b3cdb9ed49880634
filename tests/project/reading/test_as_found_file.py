"""Lists of wires found aboard, read from CSV files that a project includes."""

from __future__ import annotations

import pytest

from layout.project.reading.as_found_file import found_list
from layout.project.reading.old_labels import old_labels
from layout.project.reading.read import read
from tests.wiring.faulty import plain

HEAD = "spile: 2\nproject: {name: Old boat}\ninclude: [aboard.csv]\n"


def read_with(tmp_path, text):
    """Read a project that includes a list with this text."""
    (tmp_path / "boat.yaml").write_text(HEAD, encoding="utf-8")
    (tmp_path / "aboard.csv").write_text(text, encoding="utf-8")
    return read(tmp_path / "boat.yaml")


@pytest.mark.parametrize("mark", [",", ";"])
def test_rows_become_wires(tmp_path, mark):
    """Headings in any order and case, empty cells and rows left out, commas inside quotes kept."""
    rows = [
        ("To", "Label", "#Size", "Note"),
        ("bow", "17", "4 mm2", '"green, brittle"'),
        ("", "", "", ""),
        ("", "S1", "", ""),
    ]
    reading = read_with(tmp_path, "".join(mark.join(row) + "\r\n" for row in rows))
    assert reading.findings == ()
    assert [(w.label, w.from_, w.to, w.size, w.note) for w in reading.project.as_found] == [
        ("17", "", "bow", "4 mm2", "green, brittle"),
        ("S1", "", "", "", ""),
    ]
    assert str(reading.project.place_of("as_found.1")) == "aboard.csv:4:1"


@pytest.mark.parametrize(
    ("text", "rule", "message"),
    [
        ("wire,to\n1,bow\n", "file 31", "the first line of 'aboard.csv' has no heading 'label'"),
        ("label,colur\n1,red\n", "file 30", "unknown column 'colur' in 'aboard.csv'"),
        ("label,to,to\n1,a,b\n", "file 9", "column 'to' stands twice in 'aboard.csv'"),
        ("label,to\n,bow\n", "file 31", "'as_found.0' lacks the key 'label'"),
        (
            "label\n" + "x" * 200_000 + "\n",
            "file 6",
            "'aboard.csv' can't be read as a list: field larger than field limit (131072)",
        ),
    ],
)
def test_faulty_lists_are_said(tmp_path, text, rule, message):
    """What is wrong with a list is told like any other fault, with the place."""
    found = {finding.rule: finding for finding in read_with(tmp_path, text).findings}
    assert found[rule].message == message
    assert found[rule].at.file == "aboard.csv"


def test_missing_list_is_a_missing_file(tmp_path):
    """A list that is included but not there leaves out part of the project, and that is an error."""
    (tmp_path / "boat.yaml").write_text(HEAD, encoding="utf-8")
    assert [finding.rule for finding in read(tmp_path / "boat.yaml").findings] == ["file 1"]


def test_heading_suggests_the_column_meant():
    """A misspelt heading gets the nearest one as remedy."""
    assert found_list("label,colur\n", "a.csv")[1][0].remedy == "did you mean 'colour'?"


def test_claims_name_entry_and_fate():
    """A circuit that keeps an old wire claims its label."""
    claims = old_labels(plain(old_label="17", aboard="keep"))
    assert [(c.key, c.name, c.fate) for c in claims["17"]] == [("circuits.c1", "c1", "keep")]
