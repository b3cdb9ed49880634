"""Errors of shapes traced from made-up photographs, against what was stated: ``python -m tests.benchmarks.trace``.

Options: number of things a row (default 25), width in pixels (default 4000), first seed. Each row is one kind of thing
with a number of sheets and photographs; over all rows that is more than 200 pictures. Writes JSON, prints the table.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from layout.trace.photograph import PhotographAsked, from_photographs
from layout.trace.picture import photo_of
from layout.trace.result import TraceError, What
from layout.trace.scan import Known, from_scan
from tests.benchmarks.record import OUT, record
from tests.trace.paper import Scanner, scanned
from tests.trace.random_scenes import a_hole, a_scene, a_spoil
from tests.trace.scene import photographed
from tests.trace.truth import deviation_mm

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.geometry.path import Path

TAPE_SD_MM, ABOVE_SD_MM, FOCAL_SD = 0.5, 0.2, 0.02
"""How well tape, caliper and the file's focal length are, in the made-up world."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One thing traced: its true error and what was stated; both None where it was refused."""

    error_mm: float | None
    stated_mm: float | None
    refused: str = ""


def from_photos(seed: int, width: int, *, hole: bool, sheets: int, photographs: int) -> Outcome:
    """Make a scene up, photograph it, trace it."""
    rng = np.random.default_rng([seed, int(hole), sheets, photographs])
    scene = a_scene(rng, hole=hole, sheets=sheets, photographs=photographs, width=width)
    spoil = a_spoil(rng)
    focal = scene.cameras[0].focal_px * (1 + rng.normal(0, FOCAL_SD))
    photos = [photo_of("p", photographed(scene, camera, spoil, rng), focal_px=focal) for camera in scene.cameras]
    tape = (1, 2, scene.distance_mm(1, 2) + rng.normal(0, TAPE_SD_MM))
    above = 0.0 if hole else scene.edge_mm + rng.normal(0, ABOVE_SD_MM)
    middle = shapely.Polygon(scene.path.points(1)).representative_point()
    pointed = scene.cameras[0].seen(np.array([[middle.x, middle.y, above]]))
    asked = PhotographAsked(
        what=What.CUTOUT if hole else What.OUTLINE,
        above_mm=above,
        tape=tape,
        hole=hole,
        inside=(float(pointed[0, 0]), float(pointed[0, 1])),
    )
    return outcome(lambda: (from_photographs(photos, asked).traced, scene.path))


def from_paper(seed: int, _: int) -> Outcome:
    """Make a maker's template up, scan it, trace it."""
    rng = np.random.default_rng(seed)
    path = a_hole(rng)
    scanner = Scanner(
        across=1 + rng.normal(0, 0.002), up=1 + rng.normal(0, 0.002), turn_deg=rng.uniform(-2, 2),
        blur_px=rng.uniform(0.6, 1.2), noise=rng.uniform(2, 8),
    )  # fmt: skip
    photo = photo_of("s", scanned(path, scanner, rng, line_mm=rng.uniform(0.2, 0.6)), dpi=(300.0, 300.0))
    box = straight_box(path)
    return outcome(
        lambda: (from_scan(photo, What.CUTOUT, across=Known(length_mm=box[0]), up=Known(length_mm=box[1])), path)
    )


def straight_box(path: Path) -> tuple[float, float]:
    """Return the size of a shape along its own sides."""
    sizes = [(box.width, box.height) for turn in np.arange(-10, 10, 0.02) for box in [path.turned(turn).bounds()]]
    return min(sizes, key=sum)


def outcome(trace: Callable[[], tuple]) -> Outcome:
    """Return what tracing gave, held against the truth."""
    try:
        traced, path = trace()
    except TraceError as error:
        return Outcome(error_mm=None, stated_mm=None, refused=error.message)
    return Outcome(error_mm=deviation_mm(traced.path, path), stated_mm=traced.uncertainty_mm)


ROWS: dict[str, Callable[[int, int], Outcome]] = {
    "panel, four sheets, one photograph": lambda s, w: from_photos(s, w, hole=False, sheets=4, photographs=1),
    "panel, four sheets, three photographs": lambda s, w: from_photos(s, w, hole=False, sheets=4, photographs=3),
    "panel, two sheets, one photograph": lambda s, w: from_photos(s, w, hole=False, sheets=2, photographs=1),
    "hole, four sheets, one photograph": lambda s, w: from_photos(s, w, hole=True, sheets=4, photographs=1),
    "hole, two sheets, three photographs": lambda s, w: from_photos(s, w, hole=True, sheets=2, photographs=3),
    "scan, two dimensions": from_paper,
}


def summary(outcomes: list[Outcome]) -> dict[str, float]:
    """Return the figures of one row; errors of what was accepted."""
    kept = [one for one in outcomes if one.error_mm is not None]
    errors = np.array([one.error_mm for one in kept] or [np.nan])
    within = [one.error_mm <= one.stated_mm for one in kept]
    wrong = [one.error_mm > 1.5 * one.stated_mm for one in kept]
    return {
        "things": len(outcomes),
        "median_mm": round(float(np.median(errors)), 3),
        "p95_mm": round(float(np.quantile(errors, 0.95)), 3),
        "worst_mm": round(float(errors.max()), 3),
        "stated_mm": round(float(np.median([one.stated_mm for one in kept] or [np.nan])), 3),
        "within_percent": round(100 * float(np.mean(within or [0])), 1),
        "refused_percent": round(100 * (1 - len(kept) / len(outcomes)), 1),
        "wrong_percent": round(100 * sum(wrong) / len(outcomes), 1),
    }


def main() -> None:
    """Run all rows and print the table; each outcome is written as it comes."""
    count, width, first = (int(word) for word in (*sys.argv[1:], *("25", "4000", "0")[len(sys.argv) - 1 :]))
    OUT.mkdir(parents=True, exist_ok=True)
    log = (OUT / f"trace-{width}-outcomes.jsonl").open("a", encoding="utf-8")
    rows: dict[str, list[Outcome]] = {name: [] for name in ROWS}
    for seed in range(first, first + count):
        for name, make in ROWS.items():
            started = time.process_time()
            one = make(seed, width)
            rows[name].append(one)
            said = {"row": name, "seed": seed, "error": one.error_mm, "stated": one.stated_mm, "refused": one.refused}
            log.write(json.dumps(said | {"cpu_s": round(time.process_time() - started, 1)}) + "\n")
            log.flush()
    table = {name: summary(outcomes) for name, outcomes in rows.items()}
    print("| photographs | things | median | 95 % | worst | stated | within it | refused | wrong, not refused |")
    print("|---|---|---|---|---|---|---|---|---|")
    for name, figures in table.items():
        print("| " + " | ".join([name, *(f"{value:g}" for value in figures.values())]) + " |")
    print(record("trace", table))


if __name__ == "__main__":
    main()
