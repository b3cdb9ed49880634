"""The largest that is promised: 500 devices judged, 200 placed, 10,000 wires, a template of 5 x 3 m.

``python -m tests.benchmarks.large [judged placed wired template]``; without a word all four, each in a process of its
own, so that its peak memory is its own.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from layout import flow
from layout.frozen import FrozenMap
from layout.placing.by_components import Effort
from layout.placing.judge import judge, refusals
from layout.placing.place import place
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.reading.read import read
from layout.project.register import Register
from tests.benchmarks.record import record
from tests.large_projects import many_instruments, many_wires

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.project.model.project import Project

    Figures = dict[str, float]


def project_of(text: str) -> tuple[Project, float]:
    """Write and read a project; returns it with the processor seconds of reading."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "large.yaml"
        path.write_text(text, encoding="utf-8")
        began = time.process_time()
        reading = read(path)
        seconds = time.process_time() - began
    assert reading.project is not None, reading.findings[:3]
    return reading.project, seconds


def pins_of(project: Project) -> Arrangement:
    """Return the arrangement that the pins give."""
    pins = {key: device.pin for key, device in project.devices.items() if device.pin is not None}
    placed = {key: Placed(device=key, panel="wall", x=pin.x or 0, y=pin.y or 0) for key, pin in pins.items()}
    return Arrangement(placed=FrozenMap(placed))


def judged(count: int = 500) -> Figures:
    """Read and judge instruments that are pinned in rows."""
    project, read_s = project_of(many_instruments(count, pinned=True))
    began = time.process_time()
    refused = len(refusals(judge(project, pins_of(project), chosen=None)))
    return {"devices": count, "read_cpu_s": read_s, "judge_cpu_s": time.process_time() - began, "refused": refused}


def placed(count: int = 200) -> Figures:
    """Place instruments of four kinds with wishes, with the quick effort; the judge has the last word."""
    project, read_s = project_of(many_instruments(count, pinned=False))
    began = time.process_time()
    placing = place(project, effort=Effort.QUICK)
    place_s = time.process_time() - began
    assert placing.arrangement is not None, placing.findings[:3]
    refused = len(refusals(judge(project, placing.arrangement, chosen=None)))
    return {
        "devices": len(placing.arrangement.placed), "read_cpu_s": read_s, "place_cpu_s": place_s, "refused": refused,
    }  # fmt: skip


def wired(count: int = 10_000) -> Figures:
    """Read and wire circuits over a grid of wireways, and write their schedule as CSV."""
    project, read_s = project_of(many_wires(count))
    began = time.process_time()
    plan = flow.plan(project, None, register=Register())
    plan_s = time.process_time() - began
    with tempfile.TemporaryDirectory() as folder:
        began = time.process_time()
        flow.hand_over(plan, Path(folder), only=["schedule"])
        write_s = time.process_time() - began
        rows = len((Path(folder) / "csv" / "schedule.csv").read_text(encoding="utf-8").splitlines())
    wires = sum(len(run.wires) for run in plan.wiring.runs)
    return {
        "wires": wires, "read_cpu_s": read_s, "plan_cpu_s": plan_s, "schedule_cpu_s": write_s, "schedule_lines": rows,
    }  # fmt: skip


def template(count: int = 40) -> Figures:
    """Write drawing and template of a panel of 5 x 3 m, in tiles of A4."""
    project, read_s = project_of(many_instruments(count, pinned=False))
    plan = flow.plan(project, pins_of(project_of(many_instruments(count, pinned=True))[0]), register=Register())
    with tempfile.TemporaryDirectory() as folder:
        began = time.process_time()
        files = flow.hand_over(plan, Path(folder), only=["drawing", "template"]).files
        write_s = time.process_time() - began
        written_mb = sum(Path(file).stat().st_size for file in files) / 1e6
    return {
        "devices": count, "read_cpu_s": read_s, "write_cpu_s": write_s, "files": len(files), "written_mb": written_mb,
    }  # fmt: skip


CASES: dict[str, Callable[[], Figures]] = {"judged": judged, "placed": placed, "wired": wired, "template": template}


def main() -> None:
    """Print and record what each takes."""
    if sys.argv[1:2] == ["--one"]:
        figures = CASES[sys.argv[2]]()
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(json.dumps({name: round(value, 2) for name, value in figures.items()} | {"peak_mb": round(peak_mb)}))
        return
    rows: dict[str, Figures] = {}
    for case in sys.argv[1:] or CASES:
        words = [sys.executable, "-m", "tests.benchmarks.large", "--one", case]
        done = subprocess.run(words, capture_output=True, text=True, check=True)
        rows[case] = json.loads(done.stdout.splitlines()[-1])
        print(f"{case}: " + ", ".join(f"{name} {value:g}" for name, value in rows[case].items()), flush=True)
    print(record("large", rows))


if __name__ == "__main__":
    main()
