"""Panels with a known tight fit: share that gets a valid layout in 1, 10 and 60 s, and how soon.

``python -m tests.benchmarks.placing.tight [--count 5] [--limit 60]``. Time counts from the problem to the
arrangement, imports not included. Beside it the same panels by CP-SAT with one NoOverlap2D (plain) and
by rectpack, both with the boxes grown by the gap; rectpack either fits at once or does not.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time

from layout.placing.engine import recount
from layout.placing.engine.anneal import Halt, first_valid
from layout.placing.engine.kernel.problem_block import kernel_tables
from layout.placing.engine.kernel.runtime import available
from tests.benchmarks.placing.others import no_overlap, rectpack_fits
from tests.benchmarks.placing.panels import Panel, make, problem
from tests.benchmarks.placing.table import head, say, timed

DEVICES = (8, 16, 30, 60)
LOADS = (0.60, 0.75, 0.85, 0.90)


def engine(panel: Panel, limit_s: float, seed: int) -> bool:
    """Say whether the engine's first stage finds a valid layout, checked, within the limit."""
    stated = problem(panel, wishes="points", seed=seed)
    best = first_valid(kernel_tables(stated), 1, 1 << 40, Halt(time.monotonic() + limit_s))
    return best.valid and not recount.broken(stated, best.arrangement)


def main(argv: list[str]) -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=5, help="panels of each kind")
    parser.add_argument("--limit", type=float, default=60.0, help="seconds for each panel")
    parser.add_argument("--others", action="store_true", help="NoOverlap2D (10 s at most) and rectpack as well")
    asked = parser.parse_args(argv)
    available()
    columns = ["devices", "load", "solved in 1 / 10 / 60 s", "median s", "worst s", "cpu s each"]
    head("First valid layout", columns + (["NoOverlap2D in 10 s, median s", "rectpack"] if asked.others else []))
    for devices in DEVICES:
        for load in LOADS:
            panels = [make(devices, load, seed) for seed in range(asked.count)]
            done = [timed(lambda n=n, p=p: engine(p, asked.limit, n)) for n, p in enumerate(panels)]
            walls = [one.wall_s for one in done if one.outcome]
            shares = [f"{sum(wall <= s for wall in walls)}/{len(panels)}" for s in (1, 10, 60)]
            row: list[object] = [devices, f"{statistics.mean(p.load for p in panels):.3f}", " ".join(shares)]
            row += [f"{statistics.median(walls):.3f}" if walls else "-", f"{max(walls):.3f}" if walls else "-"]
            row.append(f"{statistics.mean(one.cpu_s for one in done):.3f}")
            if asked.others:
                plain = [timed(lambda p=p: no_overlap(p, 10.0)) for p in panels]
                fits = [one.wall_s for one in plain if one.outcome]
                middle = f"{statistics.median(fits):.2f}" if fits else "-"
                row.append(f"{len(fits)}/{len(panels)}, {middle}")
                row.append(f"{sum(rectpack_fits(p) for p in panels)}/{len(panels)}")
            say(row)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
