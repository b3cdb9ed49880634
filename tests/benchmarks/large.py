"""The largest that is promised: 500 devices, pinned on a panel of 5 x 3 m, read and judged: processor time and memory.

Run it with ``python -m tests.benchmarks.large``; a number of devices may follow.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

from layout.frozen import FrozenMap
from layout.placing.judge import judge, refusals
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.reading.read import read
from tests.benchmarks.record import record

ACROSS, PITCH_MM = 25, 180
"""Devices in a row, and the distance of their centres."""


def text_of(devices: int) -> str:
    """Return a project of round instruments, pinned in rows on one panel."""
    lines = [
        "spile: 2", "project: {name: Many instruments, example: true}",
        "panels: {wall: {name: Wall, outline: {rect: [5000, 3000]}, thickness: 9, material: plywood, depth: 200}}",
        "devices:",
    ]  # fmt: skip
    for number in range(devices):
        row, column = divmod(number, ACROSS)
        pin = f"pin: {{x: {200 + column * PITCH_MM}, y: {140 + row * 140}}}"
        lines.append(f"  d{number:03}: {{name: Instrument {number}, type: gauge-52, panel: wall, {pin}}}")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Print and record what it takes."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    rows: dict[str, dict[str, float]] = {}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "panel.yaml"
        path.write_text(text_of(count), encoding="utf-8")
        began = time.process_time()
        reading = read(path)
        read_s = time.process_time() - began
    assert reading.project is not None, reading.findings[:3]
    pins = {key: device.pin for key, device in reading.project.devices.items() if device.pin is not None}
    placed = {key: Placed(device=key, panel="wall", x=pin.x or 0, y=pin.y or 0) for key, pin in pins.items()}
    began = time.process_time()
    judged = judge(reading.project, Arrangement(placed=FrozenMap(placed)), chosen=None)
    judge_s = time.process_time() - began
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    refused = len(refusals(judged))
    rows[f"{count} devices"] = {
        "read_cpu_s": round(read_s, 2),
        "judge_cpu_s": round(judge_s, 2),
        "peak_mb": round(peak_mb),
    }
    print(f"{count} devices: read {read_s:.2f} s, judged {judge_s:.2f} s, peak {peak_mb:.0f} MB, {refused} refused")
    print(record("large", rows))


if __name__ == "__main__":
    main()
