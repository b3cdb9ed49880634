"""Many projects at once: one pure function a project, over all cores or over somebody's cluster."""

from __future__ import annotations

import multiprocessing
import os
import re
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from layout.findings import Finding

_FINE, _STOPS, _UNUSABLE, _FAULT = range(4)
"""How one project ended, as the exit codes of the command line."""

_IS_PROJECT = re.compile(r"^spile:", re.MULTILINE)
_OUR_OWN = re.compile(r".*\.register(\.last|\.damaged-\d+)?\.yaml")


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildJob:
    """One project to be built.

    Attributes
    ----------
    file, out
        The project's file; the folder its documents go to.
    seed, effort
        For placing, where nothing is chosen yet; ``effort`` is a word of ``placing.by_components.Effort``.
    """

    file: Path
    out: Path
    seed: int = 1
    effort: str = "normal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """How the building of one project ended.

    Attributes
    ----------
    code
        0 fine, 1 with findings that stop, 2 not usable, 3 a fault of spile.
    documents
        How many were written.
    findings
        All there are.
    said
        Why there are no documents; empty where there are.
    """

    file: Path
    out: Path
    code: int
    documents: int = 0
    findings: tuple[Finding, ...] = field(default=(), repr=False)
    said: str = ""


def projects_in(folder: Path) -> tuple[Path, ...]:
    """Return the project files of a folder and the folders in it, in order: YAML that begins a line with ``spile:``.

    Raises
    ------
    OSError
        If the folder can't be read.
    """
    return tuple(path for path in sorted(folder.rglob("*.yaml")) if path.is_file() and _is_project(path))


def _is_project(path: Path) -> bool:
    if _OUR_OWN.fullmatch(path.name):
        return False
    return bool(_IS_PROJECT.search(path.read_text(encoding="utf-8", errors="replace")))


def jobs_of(files: Sequence[Path], out: Path, *, seed: int = 1, effort: str = "normal") -> tuple[BuildJob, ...]:
    """Return a job for each file once; its folder is named as the file, with the folders that tell it from others.

    Raises
    ------
    ValueError
        If two files would share a folder (``a.yaml`` beside ``a.yml``).
    """
    once = list(dict.fromkeys(Path(os.path.realpath(file)) for file in files))  # resolve() fails on a loop of links
    above = Path(os.path.commonpath([file.parent for file in once])) if once else Path()
    folders: dict[Path, Path] = {}
    for file in once:
        folder = out / file.relative_to(above).with_suffix("")
        if folder in folders:
            raise ValueError(f"'{folders[folder].name}' and '{file.name}' would both be written to '{folder}'")
        folders[folder] = file
    return tuple(BuildJob(file=file, out=folder, seed=seed, effort=effort) for folder, file in folders.items())


def make(job: BuildJob) -> Made:
    """Build one project and return how it ended; nothing is raised, so that one bad project loses no other.

    The same function maps over a cluster, such as ``client.map(make, jobs)`` of Dask: give its workers one thread each
    and a folder they share.
    """
    from layout.project.editing.lock import HeldError, release

    try:
        return _make(job)
    except MemoryError:
        return _ended(job, _UNUSABLE, "this machine gives too little memory")
    except HeldError as error:
        return _ended(job, _UNUSABLE, str(error))
    except OSError as error:
        return _ended(job, _UNUSABLE, f"'{job.out}' can't be written: {(error.strerror or 'unknown reason').lower()}")
    except Exception as error:  # a fault of ours in one project is told, and the others go on
        return _ended(job, _FAULT, f"a fault of spile ({type(error).__name__}); build it alone for a report")
    finally:
        release()


def make_all(
    jobs: Sequence[BuildJob], *, workers: int | None = None, told: Callable[[Made], None] | None = None
) -> tuple[Made, ...]:
    """Build many projects over all cores and return how each ended, in the order of the jobs.

    Parameters
    ----------
    workers
        How many processes; None takes one a core.
    told
        Called with each as it ends.
    """
    ended: dict[BuildJob, Made] = {}
    for made, job in _over_processes(jobs, workers or os.cpu_count() or 1):
        ended[job] = made
        if told is not None:
            told(made)
    for job in jobs:
        if job not in ended:  # a process died and took the others with it: each once more, by itself
            alone = [made for made, _ in _over_processes([job], 1)]
            ended[job] = (
                alone[0] if alone else _ended(job, _FAULT, "its process was ended: too little memory, or killed")
            )
            if told is not None:
                told(ended[job])
    return tuple(ended[job] for job in jobs)


def _over_processes(jobs: Sequence[BuildJob], workers: int) -> Iterator[tuple[Made, BuildJob]]:
    """Yield those that came back."""
    if not jobs:
        return
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(max_workers=min(workers, len(jobs)), mp_context=context) as pool:
        try:
            waiting = {pool.submit(make, job): job for job in jobs}
            for future in as_completed(waiting):
                if not isinstance(future.exception(), BrokenProcessPool):
                    yield future.result(), waiting[future]
        except BrokenProcessPool:
            return
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise


def _ended(job: BuildJob, code: int, said: str, findings: tuple[Finding, ...] = ()) -> Made:
    return Made(file=job.file, out=job.out, code=code, said=said, findings=findings)


def _make(job: BuildJob) -> Made:
    from layout import flow
    from layout.findings import has_stops
    from layout.placing.by_components import Effort
    from layout.project.editing.lock import hold
    from layout.project.reading.read import read
    from layout.project.register import load, register_path, save

    hold(job.file, "spile build")
    reading = read(job.file)
    known, faults = load(register_path(job.file))
    if reading.project is None or known is None:
        findings = (*reading.findings, *faults)
        return _ended(job, _UNUSABLE, next((one.message for one in findings if one.weight == "stop"), ""), findings)
    project, register, findings = reading.project, known, reading.findings
    if register.arrangement is None and any(device.panel for device in project.devices.values()):
        arranged = flow.arrange(project, register, seed=job.seed, effort=Effort(job.effort))
        register, findings = arranged.register, (*findings, *arranged.findings)
    plan = flow.plan(project, register.arrangement, register=register, found=findings)
    plan = flow.with_photographs(plan, job.file.parent)
    unsaved = save(register_path(job.file), flow.remember(register, plan), known=known)
    if unsaved:
        return _ended(job, _UNUSABLE, unsaved[0].message, unsaved)
    files = flow.hand_over(plan, job.out).files
    return Made(
        file=job.file, out=job.out, code=_STOPS if has_stops(plan.findings) else _FINE, documents=len(files),
        findings=plan.findings,
    )  # fmt: skip
