"""How long all documents of 60 devices over three panels take after placing; run by hand, prints seconds by stage.

python tests/benchmarks/documents.py [FOLDER]
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import yaml

from layout import flow
from layout.handover.documents import DOCUMENT_NAMES
from layout.handover.files.documents import write_documents
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.reading.read import read
from layout.project.register import Register

if TYPE_CHECKING:
    from layout.project.model.project import Project

PANELS, COLUMNS, ROWS, PITCH_MM = 3, 5, 4, 170.0
LIMIT_S = 10.0


def size(cut: dict[str, object], face: tuple[float, float]) -> dict[str, object]:
    """Return what every device has: shapes, fixings, body, terminals."""
    wide, tall = face
    fixings = [
        {"at": [x, y], "drill": 4.5} for x in (-wide / 2 + 5, wide / 2 - 5) for y in (-tall / 2 + 5, tall / 2 - 5)
    ]
    return {
        "face": {"rect": list(face), "radius": 6}, "cutout": cut, "cutout_tolerance": {"plus": 1}, "fixings": fixings,
        "behind": {"shape": cut, "depth": 60}, "plug_room": {"depth": 40}, "size_from": "measured", "weight": "0.5 kg",
        "classes": "dc",
        "terminals": {"+": {"at": [-10, 0], "depth": 50, "pole": "+", "takes": "blade"},
                      "-": {"at": [10, 0], "depth": 50, "pole": "-", "takes": "blade"}},
    }  # fmt: skip


def description() -> dict[str, object]:
    """Return the project: on each panel one distribution panel that feeds nineteen devices."""
    panels, devices, wireways, feeders, distribution, circuits = {}, {}, {}, {}, {}, {}
    places: dict[str, object] = {"cupboard": {"name": "Battery cupboard"}}
    wide, tall = COLUMNS * PITCH_MM + 20, ROWS * PITCH_MM + 20
    for number in range(1, PANELS + 1):
        key = f"panel{number}"
        panels[key] = {
            "name": f"Panel {number}", "outline": {"rect": [wide, tall], "radius": 15}, "thickness": 12,
            "material": "plywood", "depth": 200, "cable_exit": {"at": [wide / 2, 0], "location": f"behind{number}"},
        }  # fmt: skip
        places[f"behind{number}"] = {"name": f"Behind panel {number}"}
        wireways[f"down{number}"] = {"name": f"Conduit to panel {number}", "from": f"behind{number}", "to": "cupboard",
                                     "kind": "conduit", "length": "2 m", "bore": 50, "bends": 90}  # fmt: skip
        ways = {}
        for index in range(COLUMNS * ROWS):
            name = f"d{number}x{index}"
            shape: dict[str, object] = {"circle": 92} if index % 2 else {"rect": [110, 80], "radius": 5}
            devices[name] = {"name": f"Device {number}.{index + 1}", "panel": key, **size(shape, (130, 110))}
            if index:
                ways[index] = {
                    "rating": "5 A",
                    "circuit": f"c{number}x{index}",
                    "breaking_capacity": "1.5 kA",
                    "trips_at": 6,
                }
                circuits[f"c{number}x{index}"] = {
                    "name": f"Feed {number}.{index + 1}", "from": f"dp{number}/{index}", "to": name,
                    "purpose": "instruments", "load": {"current": "2 A"},
                }  # fmt: skip
        devices[f"d{number}x0"] |= {"terminals": {
            "in": {"at": [-40, -30], "depth": 40, "pole": "+", "stud": "M6", "takes": "ring"},
            "-": {"at": [40, -30], "depth": 40, "pole": "-", "stud": "M6", "takes": "ring"},
            "ways": {"at": [0, 20], "depth": 50, "pole": "+", "takes": "blade"}}}  # fmt: skip
        distribution[f"dp{number}"] = {"name": f"Distribution {number}", "device": f"d{number}x0", "voltage": "12 V",
                                       "rating": "60 A", "ways": ways}  # fmt: skip
        feeders[f"feed{number}"] = {"name": f"Main switch to panel {number}", "from": "main/out",
                                    "to": f"dp{number}/in", "poles": "+"}  # fmt: skip
        feeders[f"return{number}"] = {"name": f"Panel {number} to battery", "from": f"dp{number}/-", "to": "battery/-",
                                      "poles": "-"}  # fmt: skip
    fuse = {
        "kind": "link fuse",
        "rating": "150 A",
        "from_source": "150 mm",
        "breaking_capacity": "3 kA",
        "voltage": "32 V",
    }
    sizes = {"1 mm2": 2.6, "1.5 mm2": 3.0, "2.5 mm2": 3.6, "4 mm2": 4.3, "6 mm2": 5.2, "10 mm2": 6.7, "16 mm2": 8.0,
             "25 mm2": 9.8, "35 mm2": 11.2, "50 mm2": 13.0, "70 mm2": 15.0}  # fmt: skip
    return {
        "spile": 2,
        "project": {"name": "Benchmark", "number": "B-60", "revision": "A", "date": "2026-11-25", "example": True},
        "workshop": {"paper": "A4", "saws": [92], "drills": [4.5, 6, 10]},
        "wiring": {"practice": "iso", "wire_sizes": "metric"},
        "panels": panels, "devices": devices, "locations": places, "wireways": wireways,
        "cables": {"single": {"name": "Single core", "insulation": "90 °C", "sizes": sizes, "carries": "dc",
                              "bend_radius": 4, "reel": "50 m"}},
        "supplies": {"battery": {"name": "Battery", "kind": "battery", "voltage": "12 V", "lowest_voltage": "11 V",
                                 "highest_voltage": "14.4 V", "location": "cupboard", "stud": "M8", "chemistry": "lead",
                                 "capacity": "400 Ah", "resistance": "3 mohm"}},
        "battery_switches": {"main": {"name": "Main switch", "kind": "isolator", "voltage": "12 V", "rating": "200 A",
                              "stud": "M8", "location": "cupboard"}},
        "feeders": {"lead": {"name": "Battery to main switch", "from": "battery/+", "to": "main/in", "poles": "+",
                             "length": "0.4 m", "protection": fuse}, **feeders},
        "breaker_panels": distribution, "circuits": circuits,
    }  # fmt: skip


def project_of(folder: Path) -> Project:
    """Write the description and read it."""
    file = folder / "benchmark.yaml"
    file.write_text(yaml.safe_dump(description(), allow_unicode=True, sort_keys=False), "utf-8")
    reading = read(file)
    if reading.project is None:
        raise SystemExit("\n".join(finding.message for finding in reading.findings))
    return reading.project


def placed_in_rows(project: Project) -> Arrangement:
    """Return an arrangement in rows and columns."""
    placed = {}
    for name in project.devices:
        number, index = (int(part) for part in name[1:].split("x"))
        x, y = 10 + PITCH_MM * (index % COLUMNS + 0.5), 10 + PITCH_MM * (index // COLUMNS + 0.5)
        placed[name] = Placed(device=name, panel=f"panel{number}", x=x, y=y)
    return Arrangement(placed=placed)


def main() -> None:
    """Work out the wiring, make and write every document, and print the time each took."""
    spent: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as scratch:
        project = project_of(Path(scratch))
        folder = Path(sys.argv[1] if len(sys.argv) > 1 else scratch)
        folder.mkdir(parents=True, exist_ok=True)
        started, busy = time.perf_counter(), time.process_time()
        plan = flow.plan(project, placed_in_rows(project), register=Register())
        spent["judge, wiring, findings"] = time.perf_counter() - started
        count = 0
        for name in DOCUMENT_NAMES:
            before = time.perf_counter()
            count += len(write_documents(plan, folder, only=[name], fresh=True).files)
            spent[name] = time.perf_counter() - before
        total, busy = time.perf_counter() - started, time.process_time() - busy
    for name, seconds in sorted(spent.items(), key=lambda row: -row[1]):
        print(f"{name:<26}{seconds:6.2f} s")
    print(f"{'all, ' + str(count) + ' files':<26}{total:6.2f} s   (aim: under {LIMIT_S:g} s on 2 cores)")
    print(f"{'of it processor time':<26}{busy:6.2f} s")
    print(f"{len(project.devices)} devices, {len(project.panels)} panels, {len(plan.wiring.runs)} runs; "
          f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")  # fmt: skip


if __name__ == "__main__":
    main()
