"""Every remedy that is offered on 30 overfull panels is applied and placed; run by hand.

python -m tests.benchmarks.placing.remedies [PANELS]
"""

from __future__ import annotations

import sys
import time

from layout.placing.by_components import Effort
from layout.placing.explain import explain
from layout.placing.fullness import fullness_of
from tests.benchmarks.record import record
from tests.placing.overfull import SIZES, is_placed, overfull


def main(panels: int) -> None:
    """Explain each panel, place each change, print and record what came of it."""
    rows: dict[str, dict[str, float]] = {}
    print(f"{'panel':<16}{'load %':>8}{'cpu s':>8}{'offered':>9}{'placed':>8}")
    for seed in range(panels):
        devices, load = SIZES[seed % len(SIZES)]
        one = overfull(seed, devices, load)
        begun = time.process_time()
        found = explain(one, effort=Effort.NORMAL)
        spent = time.process_time() - begun
        placed = 0
        for change in found.changes:
            good = is_placed(change)
            placed += good
            if not good:
                print(f"    not placed: {change.words}")
        share = max(load.share for load in fullness_of(one))
        name = f"{devices} devices #{seed}"
        rows[name] = {
            "load_percent": round(100 * share, 1), "explain_cpu_s": round(spent, 1), "offered": len(found.changes),
            "placed": placed,
        }  # fmt: skip
        print(f"{name:<16}{100 * share:>8.1f}{spent:>8.1f}{len(found.changes):>9}{placed:>8}", flush=True)
    offered, done = (sum(row[key] for row in rows.values()) for key in ("offered", "placed"))
    print(f"{done:.0f} of {offered:.0f} remedies placed")
    print(record("remedies", rows))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 30)
