"""Renewing a file of the old words: it reads as today's, and all else in it stays."""

from __future__ import annotations

import re
import shutil
from typing import TYPE_CHECKING

import pytest

from layout.project.editing.edit import EditError
from layout.project.editing.renew import old_words, renew, renewed_text
from layout.project.model.project import Project
from layout.project.reading.read import read
from tests.conftest import EXAMPLES, ROOT
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

OLD = ROOT / "tests" / "project" / "editing" / "old"
NAMES = ("workshop_wall.yaml", "canal_barge.yaml")


@pytest.mark.parametrize("name", NAMES)
def test_a_renewed_file_says_what_todays_example_says(name: str, tmp_path: Path) -> None:
    """The old example, renewed, gives a project without a fault of the file."""
    file = tmp_path / name
    shutil.copy(OLD / name, file)
    assert [finding.rule for finding in read(file).findings] == ["file 46"]
    (done,) = renew(file)
    assert "places -> locations" in done.words
    reading = read(file)
    assert isinstance(reading.project, Project), reading.findings
    today = read(EXAMPLES / name).project
    assert reading.project.devices.keys() == today.devices.keys()
    assert reading.project.locations == today.locations
    assert reading.project.battery_switches == today.battery_switches
    assert renew(file) == ()


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_comments_order_and_line_ends_stay(name: str, end: str) -> None:
    """Only words change: the comments, the number of lines and their ends are the same."""
    text = (OLD / name).read_text(encoding="utf-8").replace("\n", end)
    new, _ = renewed_text(text)
    comments = re.compile(r"#.*")
    assert comments.findall(new) == comments.findall(text)
    gone = text.count("gauge_area:")
    assert new.count(end) == text.count(end) - gone
    assert new.count("\n") == new.count(end)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("wiring: {series: awg}\n", "wiring: {wire_sizes: sae}\n"),
        ("wiring:\n  series: awg\n  gauge_area: awg\n", "wiring:\n  wire_sizes: awg\n"),
        ("wiring: {series: metric}\n", "wiring: {wire_sizes: metric}\n"),
        ("rules: {gap: 3, apart: [{gap: 9}]}\n", "rules: {face_gap: 3, apart: [{gap: 9}]}\n"),
        ("energy: {situations: {day: {off: [a], idle: [sun]}}}\n", "energy: {situations: {day: {off: [a, sun]}}}\n"),
        ("energy: {situations: {day: {idle: [sun]}}}\n", "energy: {situations: {day: {\"off\": [sun]}}}\n"),
        ('"places": {"place": {}}  # place\n', '"locations": {"place": {}}  # place\n'),
        ("devices: {place: {place: cabin}}\n", "devices: {place: {location: cabin}}\n"),
    ],
)  # fmt: skip
def test_each_word_where_it_is_a_key(old: str, new: str) -> None:
    """A word changes where it is the key of its table, not as an id, a value or in a comment."""
    assert renewed_text(old)[0] == new


def test_a_file_that_can_not_be_read_leaves_all_as_they_are(tmp_path: Path) -> None:
    """One unusable file among the included ones, and none is changed."""
    (tmp_path / "panel.yaml").write_text("spile: 1\nproject: {name: x}\ninclude: more.yaml\nplaces: {a: {}}\n")
    (tmp_path / "more.yaml").write_text("places: [\n")
    with pytest.raises(EditError):
        renew(tmp_path / "panel.yaml")
    assert (tmp_path / "panel.yaml").read_text().startswith("spile: 1\n")


def test_the_command_says_what_it_changed(tmp_path: Path) -> None:
    """`spile renew` names file and words, and the second time that there is nothing to do."""
    file = tmp_path / "wall.yaml"
    shutil.copy(OLD / "workshop_wall.yaml", file)
    told = spile("check", file)
    assert (told.code, "spile renew wall.yaml" in told.err) == (2, True)
    ran = spile("renew", file)
    assert (ran.code, "body -> behind" in ran.out) == (0, True)
    assert "Nothing to renew" in spile("renew", file).out


def test_no_new_word_is_an_old_one() -> None:
    """A word that replaced another is not itself replaced in the same table."""
    assert all(not set(words) & set(words.values()) for words in old_words().values())


@pytest.mark.parametrize("wiring", ["series: awg, gauge_area: awg", "series: awg", "series: metric"])
def test_a_file_that_is_renewed_stays_as_it_is(wiring: str) -> None:
    """A second renewal, after one that was ended between two files, changes nothing."""
    text, words = renewed_text(f"spile: 1\nwiring: {{{wiring}}}\n")
    assert words
    assert renewed_text(text) == (text, ())
