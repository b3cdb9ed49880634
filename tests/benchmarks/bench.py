"""How quickly the bench answers: on the launch and on a panel of 60 devices; ``python -m tests.benchmarks.bench``.

Seconds and milliseconds are of the processor (``cpu_s``, ``cpu_ms``), but for ``frame_ms``, which a browser shows on
a wall clock and which a busy machine draws out; it is left out where there is no chromium.
"""

from __future__ import annotations

import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path
from typing import TYPE_CHECKING

import yaml

from layout import flow
from layout.bench.wiring import wiring_data
from layout.bench.workbench import Workbench
from layout.placing.by_components import Effort
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.reading.read import read
from layout.project.register import Register, register_path, save
from tests.bench.serving import CHROMIUM, a_browser, served, shown
from tests.benchmarks.record import ROOT, record

if TYPE_CHECKING:
    from collections.abc import Callable

COLUMNS, ROWS, PITCH_MM = 10, 6, 120.0
TIMES = 20


def launch(folder: Path) -> Path:
    """Return the launch, placed with little work."""
    shutil.copytree(ROOT / "examples/launch", folder, ignore=shutil.ignore_patterns("*.register*"))
    file = folder / "launch.yaml"
    project = read(file).project
    if project is None:
        raise SystemExit("the launch can't be read")
    best = flow.arrange(project, Register(), seed=1, effort=Effort.QUICK).arrangements[0]
    save(register_path(file), Register(arrangement=best))
    return file


def sixty(folder: Path) -> Path:
    """Return a panel of 60 devices in rows, round and square, with bodies, holes and a gap to spare."""
    folder.mkdir()
    devices: dict[str, object] = {}
    placed = {}
    for index in range(COLUMNS * ROWS):
        cut: dict[str, object] = {"circle": 52} if index % 2 else {"rect": [60, 50], "radius": 5}
        devices[f"d{index}"] = {
            "name": f"Device {index + 1}", "panel": "wall", "face": {"rect": [90, 80], "radius": 6}, "cutout": cut,
            "fixings": [{"at": [x, y], "drill": 4.5} for x in (-38, 38) for y in (-33, 33)],
            "behind": {"shape": cut, "depth": 60}, "plug_room": {"depth": 40}, "size_from": "measured",
            "front_height": 10,
        }  # fmt: skip
        at = (PITCH_MM * (index % COLUMNS + 0.5), PITCH_MM * (index // COLUMNS + 0.5))
        placed[f"d{index}"] = Placed(device=f"d{index}", panel="wall", x=at[0], y=at[1])
    panel = {"outline": {"rect": [COLUMNS * PITCH_MM, ROWS * PITCH_MM]}, "thickness": 9, "material": "plywood"}
    told = {
        "spile": 2, "project": {"name": "Sixty", "example": True},
        "panels": {"wall": {**panel, "depth": 200}}, "devices": devices,
    }  # fmt: skip
    file = folder / "sixty.yaml"
    file.write_text(yaml.safe_dump(told, sort_keys=False), encoding="utf-8")
    save(register_path(file), Register(arrangement=Arrangement(placed=placed)))
    return file


def spent(act: Callable[[int], object], times: int = TIMES) -> float:
    """Return the median of processor milliseconds of an act, which is told its number; the first does not count."""
    rows = []
    for number in range(times + 1):
        before = time.process_time()
        act(number)
        rows.append(1000 * (time.process_time() - before))
    return round(statistics.median(rows[1:]), 1)


def answers(file: Path, device: str) -> dict[str, float]:
    """Return what each answer costs, in one process as the server makes it."""
    bench = Workbench(file)
    bench.state()
    at = bench.arrangement.placed[device]
    told = {"look_cpu_ms": spent(lambda step: bench.look(device, at.x + step % 5, at.y))}
    told["move_kept_cpu_ms"] = spent(lambda step: bench.move(device, at.x + 1 + step % 2, at.y))
    told["state_cpu_ms"] = spent(lambda _: bench.state())

    def follow(step: int) -> None:
        bench.move(device, at.x + 1 + step % 2, at.y)
        before = time.process_time()
        wiring_data(bench.plan())
        plans.append(1000 * (time.process_time() - before))

    plans: list[float] = []
    spent(follow, 5)
    told["plan_after_cpu_ms"] = round(statistics.median(plans[1:]), 1)
    bench.close()
    return told


def start(file: Path) -> float:
    """Return processor seconds of ``spile bench`` from its start until the page and its first state were given out."""
    made = subprocess.Popen(
        [sys.executable, "-u", "-m", "layout", "bench", str(file), "--no-show"],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    if made.stdout is None:
        raise SystemExit("nothing is said")
    address = re.findall(r"http://\S+", made.stdout.readline())[0]
    for part in ("", "bench.js", "bench.css", "api/state"):
        urllib.request.urlopen(address + part).read()
    ticks = Path(f"/proc/{made.pid}/stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()[11:13]
    made.terminate()
    made.communicate()
    return round(sum(map(int, ticks)) / 100, 2)


def frames(file: Path, device: str) -> dict[str, float]:
    """Return how long a frame takes while a device is dragged about: on the wall, and of the page's own work."""
    if CHROMIUM is None:
        return {}
    with a_browser() as browser, served(file) as address, shown(browser, address) as page:
        box = page.locator(f"[data-device={device}] .face").bounding_box()
        if box is None:
            return {}
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        hand = page.context.new_cdp_session(page)
        hand.send("Performance.enable")

        def worked() -> float:
            return next(
                one["value"] for one in hand.send("Performance.getMetrics")["metrics"] if one["name"] == "TaskDuration"
            )

        page.evaluate(
            "window.frames_ = []; let last = performance.now(); const tick = now => { frames_.push(now - last);"
            " last = now; requestAnimationFrame(tick); }; requestAnimationFrame(tick);"
        )
        page.mouse.move(x, y)
        page.mouse.down()
        page.evaluate("frames_.length = 0")
        before = worked()
        for step in range(120):
            page.mouse.move(x + step, y + step % 7)
        work = worked() - before
        shown_ms: list[float] = page.evaluate("frames_")
        page.mouse.up()
        return {"frame_ms": round(statistics.median(shown_ms), 1), "page_work_a_step_ms": round(1000 * work / 120, 1)}


def main() -> None:
    """Print a table and keep it as JSON."""
    rows: dict[str, dict[str, float]] = {}
    with tempfile.TemporaryDirectory() as name:
        for case, file, device in (
            ("launch", launch(Path(name) / "launch"), "wiper_switch"),
            ("60 devices", sixty(Path(name) / "sixty"), "d33"),
        ):
            rows[case] = {"start_cpu_s": start(file), **answers(file, device), **frames(file, device)}
            for figure, value in rows[case].items():
                print(f"{case:<14}{figure:<24}{value:>9}", flush=True)
    print(f"kept in {record('bench', rows)}")


if __name__ == "__main__":
    main()
