"""What belongs to a folder of documents: reused where nothing reaches it, told where nothing makes it any more."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from layout.findings import Finding
from layout.handover.files.documents import write_documents
from layout.handover.files.folder_contents import CONTENTS_NAME, FolderContents
from layout.handover.files.made_from import facts_digest
from layout.handover.plan import Plan
from layout.project.model.arrangement import Arrangement, Placed

if TYPE_CHECKING:
    from pathlib import Path

    from layout.handover.files.documents import Written

QUICK = ("drawing", "template", "machine", "parts", "ends", "one-line")
"""Some of every kind: from panels alone, from wires alone, lists and drawings."""

FEW = (*(name for name in QUICK if name != "template"), "workshop", "shopping", "reckoning", "workbook")


@pytest.fixture(scope="module")
def plan(project, wiring) -> Plan:
    """Return the small boat with its radio placed."""
    return placed(Plan(project=project, wiring=wiring), 200.0)


def placed(plan: Plan, x: float) -> Plan:
    """Return the plan with the radio elsewhere."""
    radio = Placed(device="radio", panel="dash", x=x, y=100.0)
    return replace(plan, arrangement=Arrangement(placed={"radio": radio}))


def titled(plan: Plan, revision: str) -> Plan:
    """Return the plan of another revision."""
    block = replace(plan.project.project, revision=revision)
    return replace(plan, project=replace(plan.project, project=block))


def another_fuse(plan: Plan, amps: float) -> Plan:
    """Return the plan with another rating of its first protective device: panels don't show it."""
    first, *others = plan.wiring.protectors
    return replace(plan, wiring=replace(plan.wiring, protectors=(replace(first, rating_a=amps), *others)))


def noted(plan: Plan, rule: str) -> Plan:
    """Return the plan with a finding more; books tell some on their cover, some in a chapter."""
    return replace(plan, findings=(*plan.findings, Finding(rule=rule, message="the radio is heavy")))


def content(folder: Path) -> dict[str, bytes]:
    """Return every document of a folder."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def names(folder: Path, written: Written) -> set[str]:
    """Return the names of what was reused."""
    return {path.relative_to(folder).as_posix() for path in written.reused}


def test_what_no_change_reaches_stays_as_it_is(plan, tmp_path):
    """A second build makes nothing; a change of wiring leaves the panels' files alone; a moved device does not."""
    first = write_documents(plan, tmp_path, only=QUICK)
    assert not first.reused
    assert write_documents(plan, tmp_path, only=QUICK).reused == set(first.files)
    wired = names(tmp_path, write_documents(another_fuse(plan, 7.5), tmp_path, only=QUICK))
    assert {"drawings/dash-1.svg", "machine/dash.dxf", "templates/dash-A4-front.pdf"} <= wired
    assert "csv/ends.csv" in wired
    assert "csv/parts.csv" not in wired
    moved = names(tmp_path, write_documents(placed(plan, 180.0), tmp_path, only=QUICK))
    assert not {name for name in moved if name.startswith(("drawings/dash", "machine/", "templates/"))}


EDITS = st.lists(
    st.one_of(
        st.tuples(st.just(placed), st.sampled_from([150.0, 200.0, 250.0])),
        st.tuples(st.just(titled), st.sampled_from(["A", "B"])),
        st.tuples(st.just(another_fuse), st.sampled_from([5.0, 10.0])),
        st.tuples(st.just(noted), st.sampled_from(["panel 1", "wire 1", "day 7"])),
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=4, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(edits=EDITS)
def test_reused_and_fresh_are_the_same_bytes(plan, tmp_path_factory, edits):
    """After any row of edits a folder that was built step by step holds what an empty one gets, list included."""
    folder, empty = tmp_path_factory.mktemp("kept"), tmp_path_factory.mktemp("empty")
    write_documents(plan, folder, only=FEW)
    for edit, value in edits:
        plan = edit(plan, value)
        write_documents(replace(plan), folder, only=FEW)
    write_documents(replace(plan), empty, only=FEW, fresh=True)
    assert content(folder) == content(empty)


@pytest.mark.parametrize("said", ["", "{", "[]", '{"form": 1}', '{"form": 3, "steps": {}, "stale": {}}', "[" * 9000])
def test_a_damaged_list_is_as_none(plan, tmp_path, said):
    """Whatever stands in the list, the documents come out; the list is whole again."""
    write_documents(plan, tmp_path, only=["parts"])
    before = content(tmp_path)
    (tmp_path / CONTENTS_NAME).write_text(said)
    assert not write_documents(plan, tmp_path, only=["parts"]).reused
    assert content(tmp_path) == before


def test_a_changed_or_lost_document_is_made_again(plan, tmp_path):
    """The list alone is not believed: the file must be there with the bytes it had."""
    (file,) = write_documents(plan, tmp_path, only=["parts"]).files
    before = file.read_bytes()
    file.write_bytes(before + b"mine")
    assert not write_documents(plan, tmp_path, only=["parts"]).reused
    assert file.read_bytes() == before
    file.unlink()
    write_documents(plan, tmp_path, only=["parts"])
    assert file.read_bytes() == before


def test_what_nothing_makes_any_more_is_told_and_removed_on_request(plan, tmp_path):
    """The files of a panel that is cut are stale until they are removed; one that was changed since stays."""
    write_documents(plan, tmp_path, only=["machine", "parts"])
    done = replace(plan.project.panels["dash"], work_state="cut")
    plan = replace(plan, project=replace(plan.project, panels={"dash": done}))
    for _ in range(2):
        written = write_documents(plan, tmp_path, only=["machine"])
        assert [path.name for path in written.stale] == ["dash.dxf", "dash.svg"]
    (tmp_path / "machine/dash.svg").write_text("mine")
    left = write_documents(plan, tmp_path, only=["machine"], remove_stale=True)
    assert [path.name for path in left.stale] == ["dash.svg"]
    assert set(content(tmp_path)) == {"machine/dash.svg", "csv/parts.csv", CONTENTS_NAME}


def test_a_list_reaches_no_file_outside_its_folder(plan, tmp_path):
    """A list that names a file elsewhere is no list of ours."""
    outside = tmp_path / "mine.txt"
    outside.write_text("mine")
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / CONTENTS_NAME).write_text(
        json.dumps({"form": 1, "steps": {}, "stale": {"../mine.txt": facts_digest("mine")}})
    )
    assert FolderContents.read(folder) == FolderContents()
    write_documents(plan, folder, only=["parts"], remove_stale=True)
    assert outside.exists()


def test_half_written_files_of_a_killed_run_go(plan, tmp_path):
    """What was left half written of these documents goes; a file of the user's with nearly such a name stays."""
    (tmp_path / "csv").mkdir()
    for name in ("csv/.parts.csv.ab12_xyz.part", ".contents.json.abcdefgh.part", "csv/.notes.csv.ab12_xyz.part"):
        (tmp_path / name).write_text("half")
    write_documents(plan, tmp_path, only=["parts"])
    assert set(content(tmp_path)) == {"csv/parts.csv", "csv/.notes.csv.ab12_xyz.part", CONTENTS_NAME}


def test_another_language_is_another_document(plan, tmp_path):
    """A folder in English is made again in German and not reused; English again gives the first bytes, as if alone."""
    german = replace(plan.project, project=replace(plan.project.project, language="de"))
    write_documents(plan, tmp_path, only=FEW)
    english = content(tmp_path)
    second = write_documents(placed(replace(plan, project=german), 200.0), tmp_path, only=FEW)
    assert second.reused == frozenset()
    said = content(tmp_path)
    assert "Farbe" in said["csv/ends.csv"].decode() or "Klemme" in said["csv/ends.csv"].decode()
    third = write_documents(placed(plan, 200.0), tmp_path, only=FEW)
    assert third.reused == frozenset()
    assert content(tmp_path) == english


def test_digest_tells_values_apart():
    """Kind, order and nesting count; equal mappings and sets have one digest; what has none is refused."""
    values = [1, 1.0, True, "1", None, (1, 2), (2, 1), ((1,), 2), {"a": 1}, {"a": (1,)}, frozenset({1})]
    assert len({facts_digest(value) for value in values}) == len(values)
    assert facts_digest(frozenset({"a", "b"})) == facts_digest(frozenset({"b", "a"}))
    assert facts_digest("a", "b") != facts_digest("ab")
    with pytest.raises(TypeError, match="no digest"):
        facts_digest(object())
