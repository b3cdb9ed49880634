"""How long wiring takes: 250, 500, 1,000 and 2,000 wires over 300 wireways, with the ratio and peak memory.

Run it with ``python -m tests.benchmarks.wiring`` from the project's folder.
"""

from __future__ import annotations

import resource
import sys
import time

from layout.wiring.wire import wire
from tests.benchmarks.record import record
from tests.wiring.builders import grid


def main() -> None:
    """Print one line for each count of wires."""
    wire(grid(20), None)  # imports and tables are no part of the work
    seconds: dict[int, float] = {}
    rows: dict[str, dict[str, float]] = {}
    for count in (250, 500, 1000, 2000):
        project = grid(count)
        start = time.process_time()
        result = wire(project, None)
        seconds[count] = time.process_time() - start
        ratio = seconds[count] / seconds[count // 2] if count // 2 in seconds else float("nan")
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        wires = sum(len(run.wires) for run in result.runs)
        over = sum(1 for finding in result.findings if finding.rule == "wire 14")
        sys.stdout.write(
            f"{count:5d} wires ({wires} with feeders), {len(project.wireways)} wireways: {seconds[count]:6.2f} s, "
            f"ratio {ratio:4.2f}, peak {peak:4.0f} MB, {over} overfull\n"
        )
        rows[f"{count} wires"] = {"cpu_s": round(seconds[count], 3), "peak_mb": round(peak), "overfull": over}
    sys.stdout.write(f"{record('wiring', rows)}\n")


if __name__ == "__main__":
    main()
