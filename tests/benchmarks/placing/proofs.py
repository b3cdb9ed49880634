"""What is proven and how soon: zone wishes to the optimum, and the gap before any search.

``python -m tests.benchmarks.placing.proofs [--count 5] [--devices 12] [--wishes zones]``. The gap at the
root is (value - bound) / value with the best value found: "plain" is the relaxation of the model as it
stands, "groups" the one with all rows that the engine adds before it searches.
"""

from __future__ import annotations

import argparse
import sys

from layout.placing.engine import recount
from layout.placing.engine.bounds.growing_groups import Growth
from layout.placing.engine.bounds.relaxation import bound
from layout.placing.engine.kernel.runtime import available
from layout.placing.engine.stage_result import Limit
from layout.placing.engine.stages import run_stages
from tests.benchmarks.placing.panels import make, problem
from tests.benchmarks.placing.table import head, say, timed


def main(argv: list[str]) -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=5, help="panels of each load")
    parser.add_argument("--devices", type=int, default=12)
    parser.add_argument("--wishes", choices=("zones", "points"), default="zones")
    parser.add_argument("--loads", type=float, nargs="*", default=[0.65, 0.75])
    asked = parser.parse_args(argv)
    available()
    limit = Limit(proof=30.0)
    columns = ["load", "seed", "value", "proven", "wall s", "cpu s", "gap plain", "gap groups", "cpu s groups"]
    head(f"Proofs, {asked.devices} devices, {asked.wishes}", columns)
    for load in asked.loads:
        for seed in range(asked.count):
            stated = problem(make(asked.devices, load, seed), wishes=asked.wishes, seed=seed)
            whole = timed(lambda p=stated: run_stages(p, limit).result)
            result = whole.outcome
            if result.arrangement is None or result.value is None or recount.broken(stated, result.arrangement):
                say([load, seed, "none", result.words, f"{whole.wall_s:.1f}", f"{whole.cpu_s:.1f}"])
                continue
            growth = Growth(total=6.0)
            root = timed(lambda p=stated, a=result.arrangement, g=growth: bound(p, a, growth=g))
            gaps = [f"{max(0, 1 - low / result.value):.1%}" for low in (root.outcome.plain, root.outcome.value)]
            times = [f"{whole.wall_s:.1f}", f"{whole.cpu_s:.1f}"]
            say([load, seed, result.value, result.words, *times, *gaps, f"{root.cpu_s:.1f}"])
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
