"""Processor seconds of placing: to a first picture, to within 2 % of the best known, to the end; kept as JSON.

``python -m tests.benchmarks.placing.seconds [--only launch] [--without-kernel]``. Made panels have known layouts
(``panels.py``); the launch is posed with its own wishes. ``best_values.yaml`` has the best value that any run met;
imports are not counted, reading is. ``--without-kernel`` gives the exact solver's neighbourhoods the processor seconds
that the annealing took, from a first arrangement that it finds itself: what the kernel is worth.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml

from layout.placing.engine import recount
from layout.placing.engine.kernel.runtime import available
from layout.placing.engine.stage_result import Limit
from layout.placing.engine.stages import StagedSearch
from tests.benchmarks.placing.panels import make, problem
from tests.benchmarks.placing.table import head, say
from tests.benchmarks.record import record

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Progress

BEST = Path(__file__).with_name("best_values.yaml")
ROOT = Path(__file__).resolve().parents[3]
MADE = ((20, 0.75, 0), (20, 0.75, 1), (30, 0.6, 0), (30, 0.6, 1), (30, 0.9, 0), (30, 0.9, 1))
"""Devices, load and seed of each made panel."""


def launch() -> Problem:
    """Pose the console of the launch example with the wishes of the project."""
    from layout.placing.components import components_of
    from layout.placing.formulation import Formulation
    from layout.placing.given_positions import given
    from layout.project.reading.read import read

    project = read(ROOT / "examples" / "launch" / "launch.yaml").project
    if project is None:
        raise RuntimeError("the launch can't be read")
    held, _ = given(project, keep=(), chosen=None)
    parts = components_of(Formulation(project=project, held=held).safe_problem)
    return max((part.subset.problem for part in parts), key=lambda one: len(one.items))


def cases() -> dict[str, Callable[[], Problem]]:
    """Return how each problem is made, by name."""
    found: dict[str, Callable[[], Problem]] = {
        f"{n} devices, load {load}, seed {seed}": (
            lambda n=n, load=load, seed=seed: problem(make(n, load, seed), wishes="points", seed=seed)  # type: ignore[misc]
        )
        for n, load, seed in MADE
    }
    return {"launch console": launch, **found}


def measure(made: Callable[[], Problem], known: int | None, seed: int) -> dict[str, Any]:
    """Place once with the ordinary effort; returns processor seconds and values."""
    began = time.process_time()
    course: list[tuple[float, int]] = []

    def watch(progress: Progress) -> bool:
        course.append((time.process_time() - began, progress.value or 0))
        return False

    stated = made()
    search = StagedSearch(stated, Limit(), seed, watch=watch)
    search.first()
    search.better()
    whole = time.process_time() - began
    best = search.best
    aim = min(one for one in (known, best) if one is not None) if best is not None else None
    soon = next((at for at, value in course if aim is not None and value <= 1.02 * aim), None)
    return {
        "first": course[0][0] if course else None, "within_2": soon, "whole": whole, "value": best,
        "work": search.spent.work, "known": known,
    }  # fmt: skip


def without_kernel(made: Callable[[], Problem], seconds: float, seed: int) -> dict[str, Any]:
    """Let the exact solver alone find and better an arrangement for so many processor seconds."""
    from layout.placing.engine.cpsat.feasible import first_layout
    from layout.placing.engine.neighbourhood import better
    from layout.placing.engine.polish import polish

    began = time.process_time()
    stated = made()
    first = first_layout(stated, work=6.0, seed=seed).arrangement
    if first is None:
        return {"value": None, "whole": time.process_time() - began}
    start = polish(stated, first, seed=seed).arrangement or first
    at = time.process_time() - began

    def halted() -> bool:
        return time.process_time() - began > seconds

    done = better(stated, start, rounds=10_000, seed=seed, halted=halted, tell=lambda _: None)
    return {"first": at, "value": recount.value(stated, done.arrangement), "whole": time.process_time() - began}


def _named(done: dict[str, Any]) -> dict[str, float]:
    """Return the figures that are known, processor seconds named as such."""
    named = {f"{key}_cpu_s" if key in ("first", "within_2", "whole") else key: one for key, one in done.items()}
    return {key: round(one, 3) for key, one in named.items() if one is not None}


def main(argv: list[str]) -> int:
    """Print the table and keep it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", help="names that contain this")
    parser.add_argument("--seeds", type=int, default=1, help="seeds of the search, each a row")
    parser.add_argument("--without-kernel", action="store_true")
    asked = parser.parse_args(argv)
    available()
    best: dict[str, int] = yaml.safe_load(BEST.read_text()) if BEST.exists() else {}
    columns = ["problem", "seed", "first s", "within 2 % s", "whole s", "value", "best known", "work", "without kernel"]
    head("Processor seconds of an ordinary placing", columns)
    rows: dict[str, Any] = {}
    for name, made in cases().items():
        if asked.only not in name:
            continue
        for seed in range(1, asked.seeds + 1):
            done = measure(made, best.get(name), seed)
            alone = without_kernel(made, done["whole"], seed) if asked.without_kernel else {}
            figures = {**_named(done), **{f"without_kernel_{key}": one for key, one in _named(alone).items()}}
            rows[f"{name}, search {seed}"] = figures
            if done["value"] is not None and done["value"] < best.get(name, 1 << 60):
                best[name] = done["value"]
            times = ["-" if done[key] is None else f"{done[key]:.1f}" for key in ("first", "within_2", "whole")]
            say([name, seed, *times, done["value"], best.get(name), done["work"], alone.get("value", "-")])
    text = "# Best values known, in whole-number cost, of any run of tests.benchmarks.placing.seconds.\n"
    BEST.write_text(text + yaml.safe_dump(best, sort_keys=True))
    sys.stdout.write(f"{record('placing', rows)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
