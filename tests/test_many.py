"""Many projects in one command: none lost when another is bad, by several processes as by one."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from layout import many
from layout.many import BuildJob, Made, jobs_of, make, make_all, projects_in
from layout.project.editing.new_project import new_text
from tests.conftest import EXAMPLES
from tests.running import spile

SMALL = "spile: 2\nproject: {name: Nothing yet, revision: A}\n"


def written(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder by its path in it."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with two projects, one of them deeper, a bad one, and files that are none."""
    here = tmp_path / "boats"
    (here / "deep").mkdir(parents=True)
    (here / "a.yaml").write_text(SMALL, encoding="utf-8")
    (here / "deep" / "a.yaml").write_text(SMALL, encoding="utf-8")
    (here / "bad.yaml").write_text("spile: 2\nproject: {\n", encoding="utf-8")
    (here / "shelf.yaml").write_text("types: {}\n", encoding="utf-8")
    (here / "old.register.yaml").write_text("spile: no\n", encoding="utf-8")
    return here


def test_projects_of_a_folder(folder: Path) -> None:
    """Those that say spile, in order; no included file, and no register."""
    assert [str(path.relative_to(folder)) for path in projects_in(folder)] == ["a.yaml", "bad.yaml", "deep/a.yaml"]
    assert [path.name for path in projects_in(EXAMPLES)] == [
        "canal_barge.yaml", "hire_cruiser.yaml", "launch.yaml", "overfull.yaml", "wrong_network.yaml",
        "mussel_boat.yaml", "workshop_wall.yaml",
    ]  # fmt: skip


def test_each_has_a_folder_of_its_own(tmp_path: Path) -> None:
    """Files of one name in two folders are told apart; a file given twice is built once."""
    jobs = jobs_of([tmp_path / "x/a.yaml", tmp_path / "y/a.yaml", tmp_path / "x/a.yaml"], Path("out"))
    assert [job.out for job in jobs] == [Path("out/x/a"), Path("out/y/a")]
    assert [job.out for job in jobs_of([tmp_path / "x/a.yaml"], Path("out"))] == [Path("out/a")]
    with pytest.raises(ValueError, match="would both be written"):
        jobs_of([tmp_path / "a.yaml", tmp_path / "a.yml"], Path("out"))


def test_one_bad_project_loses_none(folder: Path, tmp_path: Path) -> None:
    """The command ends with the worst code, says why, and the others have their documents."""
    ran = spile("build", folder, "--out", tmp_path / "out", "--json")
    assert ran.code == 2
    told = {Path(one["out"]).relative_to(tmp_path / "out").as_posix(): one for one in ran.data["projects"]}
    assert {name: one["exit"] == 2 for name, one in told.items()} == {"a": False, "bad": True, "deep/a": False}
    assert told["bad"]["said"]
    assert told["a"]["documents"] > 0
    assert written(tmp_path / "out" / "a").keys() == written(tmp_path / "out" / "deep" / "a").keys()
    assert not (tmp_path / "out" / "bad").exists()


def test_an_empty_folder_is_said(tmp_path: Path) -> None:
    """No project, nothing built."""
    ran = spile("build", tmp_path)
    assert ran.code == 2
    assert "there is no project" in ran.err


@pytest.mark.long
def test_the_same_bytes_as_alone(tmp_path: Path) -> None:
    """A project built among others has the documents and the register it has when built alone."""
    folders = []
    for name in ("alone", "among"):
        (tmp_path / name).mkdir()
        folders.append(tmp_path / name)
        (tmp_path / name / "new.yaml").write_text(new_text(), encoding="utf-8")
    (tmp_path / "among" / "other.yaml").write_text(SMALL, encoding="utf-8")
    spile("build", folders[0] / "new.yaml", "--out", tmp_path / "one", "--effort", "quick", "--quiet")
    spile("build", folders[1], "--out", tmp_path / "two", "--effort", "quick", "--quiet")
    assert written(tmp_path / "one") == written(tmp_path / "two" / "new")
    assert (folders[0] / "new.register.yaml").read_bytes() == (folders[1] / "new.register.yaml").read_bytes()


def _dies_of_bad(job: BuildJob) -> Made:
    if job.file.stem == "bad":
        os._exit(9)
    return make(job)


def test_a_process_that_dies_loses_no_other(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Killed from outside, or out of memory: that project is told, and the others are built."""
    monkeypatch.setattr(many, "make", _dies_of_bad)
    made = make_all(jobs_of(projects_in(folder), tmp_path / "out"), workers=2)
    assert [one.code == 3 for one in made] == [False, True, False]
    assert "process was ended" in made[1].said
    assert all(one.documents for one in (made[0], made[2]))


def test_a_fault_of_ours_in_one_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An exception nobody foresaw ends that project with 3."""
    monkeypatch.setattr(many, "_make", lambda _: 1 // 0)
    made = make(BuildJob(file=tmp_path / "a.yaml", out=tmp_path))
    assert (made.code, "ZeroDivisionError" in made.said) == (3, True)


@pytest.mark.long
def test_over_a_cluster(folder: Path, tmp_path: Path) -> None:
    """The same function maps over Dask's workers, and gives what it gives here."""
    distributed = pytest.importorskip("distributed")
    jobs = jobs_of(projects_in(folder), tmp_path / "out")
    here = [make(job) for job in jobs_of(projects_in(folder), tmp_path / "here")]
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
    ):
        there = client.gather(client.map(make, jobs))
    assert [(one.code, one.documents, one.findings) for one in there] == [
        (one.code, one.documents, one.findings) for one in here
    ]
    assert written(tmp_path / "out") == written(tmp_path / "here")
