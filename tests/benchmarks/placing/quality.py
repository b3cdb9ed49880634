"""How near the best value known the search comes, and how soon.

``python -m tests.benchmarks.placing.quality [--improve]``. Each value is compared with the best known, kept in
``best_known.yaml`` with the command and seed that gave it; ``--improve`` searches long (8 runs of 2 M moves and
240 rounds of another seed), and writes what is better. The launch example is posed with its own wishes.
"Within 2 %" is the time on the wall after which the best so far was that near, imports not included.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml

from layout.placing.engine import recount
from layout.placing.engine.kernel.runtime import available
from layout.placing.engine.stage_result import Limit
from layout.placing.engine.stages import run_stages
from tests.benchmarks.placing.panels import make, problem
from tests.benchmarks.placing.table import head, say, timed

if TYPE_CHECKING:
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Progress

BEST = Path(__file__).with_name("best_known.yaml")
LAUNCH = Path(__file__).resolve().parents[3] / "examples" / "launch" / "launch.yaml"
CASES = tuple(
    (devices, load, wishes, seed)
    for devices, load in ((20, 0.75), (20, 0.85), (30, 0.75), (30, 0.85))
    for wishes in ("points", "zones")
    for seed in (0, 1)
)
"""Devices, load, wishes and seed of each made panel."""

LONG = Limit(runs=8, moves=2_000_000, moves_per_item=0, rounds=240)


@dataclass(slots=True)
class Course:
    """The best value over time."""

    began: float = field(default_factory=time.perf_counter)
    steps: list[tuple[float, int]] = field(default_factory=list)

    def __call__(self, progress: Progress) -> bool:
        """Note a value."""
        if progress.value is not None:
            self.steps.append((time.perf_counter() - self.began, progress.value))
        return False

    def after(self, most: float) -> float | None:
        """Return the seconds until the value was at most so much."""
        return next((seconds for seconds, value in self.steps if value <= most), None)


def launch() -> Problem:
    """Pose the launch example."""
    from layout.project.read import read

    from layout.placing.formulation import Formulation
    from layout.placing.given_positions import given

    project = read(LAUNCH).project
    if project is None:
        raise RuntimeError(f"{LAUNCH} cannot be read")
    held, _ = given(project, keep=(), chosen=None)
    return Formulation(project=project, held=held).safe_problem


def problems(launch_too: bool) -> dict[str, Problem]:
    """Return the problems by name."""
    found = {
        f"{devices} devices, load {load}, {wishes}, seed {seed}": problem(
            make(devices, load, seed), wishes=wishes, seed=seed
        )
        for devices, load, wishes, seed in CASES
    }
    return found | ({"launch example": launch()} if launch_too else {})


def improve(found: dict[str, Problem], known: dict[str, Any]) -> None:
    """Search long and write what is better than known."""
    for name, stated in found.items():
        for seed in (101,):
            value = run_stages(stated, LONG, seed).result.value
            if value is not None and value < known.get(name, {}).get("value", 1 << 60):
                command = "python -m tests.benchmarks.placing.quality --improve"
                known[name] = {"value": value, "seed": seed, "command": command}
                text = "# Best values known, in whole-number cost; the command and seed that gave each.\n"
                BEST.write_text(text + yaml.safe_dump(known, sort_keys=True))


def main(argv: list[str]) -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--improve", action="store_true")
    parser.add_argument("--no-launch", action="store_true", help="made panels only")
    parser.add_argument("--only", default="", help="names that contain this")
    parser.add_argument("--seeds", type=int, default=2, help="seeds of the search, each a row")
    asked = parser.parse_args(argv)
    available()
    found = {name: one for name, one in problems(not asked.no_launch).items() if asked.only in name}
    known: dict[str, Any] = yaml.safe_load(BEST.read_text()) if BEST.exists() else {}
    if asked.improve:
        improve(found, known)
    columns = ["problem", "seed", "value", "best known", "above it", "within 2 % after s", "whole s", "cpu s"]
    head("Value reached by the default search, no proof", columns)
    for name, stated in found.items():
        for seed in range(1, asked.seeds + 1):
            course = Course()
            done = timed(lambda p=stated, s=seed, w=course: run_stages(p, Limit(), s, watch=w).result)
            result, best = done.outcome, known.get(name, {}).get("value")
            if result.arrangement is None or result.value is None or recount.broken(stated, result.arrangement):
                say([name, seed, "none", best or "-"])
                continue
            best = best or result.value
            soon = course.after(best * 1.02)
            row: list[object] = [name, seed, result.value, best, f"{100 * (result.value / best - 1):.2f} %"]
            say([*row, "-" if soon is None else f"{soon:.1f}", f"{done.wall_s:.1f}", f"{done.cpu_s:.1f}"])
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
