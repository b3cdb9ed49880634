"""What is proven and how soon, beside plain CP-SAT on the same grid; kept as JSON.

``python -m tests.benchmarks.placing.proofs [--devices 4 6 8 10] [--wishes points] [--loads 0.6 0.7 0.8]``. Plain is one
worker on one ``NoOverlap2D`` and the wishes, with the same start as an upper bound and as much counted work.
"""

from __future__ import annotations

import argparse
import sys
import time
from typing import TYPE_CHECKING

from layout.placing.engine import recount
from layout.placing.engine.cpsat.objective import objective
from layout.placing.engine.cpsat.solver import run_cpsat
from layout.placing.engine.kernel.runtime import available
from layout.placing.engine.proof import prove_arrangement
from layout.placing.engine.stage_result import Limit
from layout.placing.engine.stages import run_stages
from tests.benchmarks.placing.others import plain_model
from tests.benchmarks.placing.panels import make, problem
from tests.benchmarks.placing.table import head, say
from tests.benchmarks.record import record

if TYPE_CHECKING:
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions

WORK = 15.0
"""Deterministic time of either proof."""


def ours(stated: Problem, start: Positions) -> tuple[float, float]:
    """Return processor seconds and the share of the best value that is left open."""
    began = time.process_time()
    met = [start]
    proof = prove_arrangement(stated, start, work=WORK, seed=1, tell=lambda _: False, offer=met.append)
    value = min(recount.value(stated, one) for one in met)
    return time.process_time() - began, max(0.0, 1 - proof.bound / value) if value else 0.0


def plain(stated: Problem, start: Positions) -> tuple[float, float]:
    """Do the same with plain CP-SAT."""
    began = time.process_time()
    model = plain_model(stated)
    total, _ = objective(model)
    model.cp.add(total <= recount.value(stated, start))
    answer = run_cpsat(model, work=WORK, workers=1)
    value = recount.value(stated, answer.arrangement or start)
    return time.process_time() - began, 0.0 if answer.proven else max(0.0, 1 - answer.bound / value)


def main(argv: list[str]) -> int:
    """Print the table and keep it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=2, help="panels of each size and load")
    parser.add_argument("--devices", type=int, nargs="*", default=[4, 6, 8, 10])
    parser.add_argument("--wishes", choices=("zones", "points"), default="points")
    parser.add_argument("--loads", type=float, nargs="*", default=[0.6, 0.7, 0.8])
    asked = parser.parse_args(argv)
    available()
    head(f"Proofs, {asked.wishes}", ["devices", "load", "seed", "s", "left open", "plain s", "plain left open"])
    rows = {}
    for devices in asked.devices:
        for load in asked.loads:
            for seed in range(asked.count):
                stated = problem(make(devices, load, seed), wishes=asked.wishes, seed=seed)
                start = run_stages(stated, Limit(runs=4)).result.arrangement
                if start is None:
                    say([devices, load, seed, "no arrangement"])
                    continue
                (seconds, left), (plain_s, plain_left) = ours(stated, start), plain(stated, start)
                say([devices, load, seed, f"{seconds:.1f}", f"{left:.1%}", f"{plain_s:.1f}", f"{plain_left:.1%}"])
                rows[f"{devices} devices, {asked.wishes}, load {load}, seed {seed}"] = {
                    "proof_cpu_s": round(seconds, 2), "left_open_percent": round(100 * left, 2),
                    "plain_cpu_s": round(plain_s, 2), "plain_left_open_percent": round(100 * plain_left, 2),
                }  # fmt: skip
    sys.stdout.write(f"{record('proofs', rows)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
