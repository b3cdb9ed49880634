"""Published packing instances through the engine, beside one NoOverlap2D and beside rectpack.

``python -m tests.benchmarks.placing.published [--limit 10] [--sets c t_n squares floorplans]``.

Strips (sets C, T, N): the least height at which all pieces were placed, tried from the known optimum
upwards; ``--limit`` processor seconds, about, for each height. Squares: the published rectangle, and one row less,
which is to be proven too small. Floorplans: the least share of free area in a square outline. Sources stand
in the heads of the files in ``tests/benchmarks/data``. Set C may be turned; T and N may not.
"""

from __future__ import annotations

import argparse
import csv
import sys
from dataclasses import dataclass
from math import ceil, sqrt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml

from layout.placing.engine import recount
from layout.placing.engine.kernel.runtime import available
from layout.placing.engine.problem import PackItem, Problem, StepBox, TurnOption
from layout.placing.engine.stage_result import UNITS_OF_CPSAT, Limit, Status
from layout.placing.engine.stages import run_stages
from tests.benchmarks.placing.others import no_overlap_boxes, rectpack_boxes
from tests.benchmarks.placing.table import head, say, timed
from tests.benchmarks.record import record
from tests.placing.engine.boxes import BoxPairs, box_room

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

DATA = Path(__file__).resolve().parents[1] / "data"
Size = tuple[int, int]
Rows = dict[str, dict[str, float]]

WAYS = ("engine", "no_overlap", "rectpack")
"""Columns of the table of floorplans after name, blocks and published area."""

WASTE = (0.20, 0.15, 0.12, 0.10, 0.08, 0.06, 0.05, 0.04, 0.03, 0.02, 0.01)
"""Shares of free area that are tried for a floorplan, the loosest first."""


def boxes(sizes: Sequence[Size], frame: Size, *, turned: bool) -> Problem:
    """State plain boxes, lower left corner as position, as a problem."""
    items, faces = [], []
    for k, (w, h) in enumerate(sizes):
        forms = [(w, h), (h, w)] if turned and w != h else [(w, h)]
        forms = [form for form in forms if form[0] <= frame[0] and form[1] <= frame[1]] or forms
        faces.append(tuple(StepBox(0, 0, a, b) for a, b in forms))
        turns = tuple(
            TurnOption(rooms=(box_room(0, 0, frame[0] - a, frame[1] - b),), core=StepBox(0, 0, a, b)) for a, b in forms
        )
        items.append(PackItem(name=f"P{k + 1}", turns=turns, like=f"{w}x{h}" if sizes.count((w, h)) > 1 else ""))
    return Problem(items=tuple(items), pairs=BoxPairs(faces=tuple(faces)))


def limit_of(seconds: float) -> Limit:
    """Return the engine's limit for so many processor seconds, about: the first annealing, then the exact search."""
    return Limit(runs=0, exact=seconds / UNITS_OF_CPSAT)


def engine(sizes: Sequence[Size], frame: Size, limit_s: float, *, turned: bool) -> bool:
    """Say whether the engine places all boxes within the limit; the layout is checked."""
    stated = boxes(sizes, frame, turned=turned)
    found = run_stages(stated, limit_of(limit_s)).result.arrangement
    return found is not None and not recount.broken(stated, found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """Least size that was reached, and the processor seconds of the try that reached it; None when none was."""

    size: float | None
    seconds: float

    def __str__(self) -> str:
        return "none" if self.size is None else f"{self.size:g} in {self.seconds:.2f} s"


def least(sizes: Sequence[int], fits: Callable[[int], bool]) -> Reached:
    """Try sizes in order until one fits."""
    for size in sizes:
        tried = timed(lambda size=size: fits(size))
        if tried.outcome:
            return Reached(size=size, seconds=tried.cpu_s)
    return Reached(size=None, seconds=0.0)


def strips(name: str, limit_s: float, most: int) -> Rows:
    """Print the table of a set of strips and return its figures."""
    rows: Rows = {}
    loaded: dict[str, Any] = yaml.safe_load((DATA / name).read_text())
    head(f"Zero-waste strips, {name}", ["instance", "pieces", "optimal height", "engine", "NoOverlap2D", "rectpack"])
    for one in loaded["instances"]:
        if one["n"] > most:
            continue
        sizes = [(w, h) for w, h in one["items"]]
        width, best = one["strip_width"], one["opt_height"]
        turned = one.get("rotation") == "allowed"
        heights = [best, best + 1, *(best + max(2, ceil(best * share)) for share in (0.01, 0.02, 0.03, 0.05, 0.1, 0.2))]
        heights = sorted(set(heights))

        def ours(h: int, sizes: list[Size] = sizes, width: int = width, turned: bool = turned) -> bool:
            return engine(sizes, (width, h), limit_s, turned=turned)

        def plain(h: int, sizes: list[Size] = sizes, width: int = width, turned: bool = turned) -> bool:
            return no_overlap_boxes(sizes, (width, h), limit_s, turned=turned)

        def quick(h: int, sizes: list[Size] = sizes, width: int = width, turned: bool = turned) -> bool:
            return rectpack_boxes(sizes, (width, h), turned=turned)

        reached = [least(heights, one_way) for one_way in (ours, plain, quick)]
        say([one["name"], one["n"], best, *reached])
        figures = {
            "pieces": one["n"], "optimal_height": best, "engine_height": reached[0].size,
            "engine_cpu_s": round(reached[0].seconds, 2), "no_overlap_height": reached[1].size,
            "rectpack_height": reached[2].size,
        }  # fmt: skip
        rows[f"strip {one['name']}"] = {key: figure for key, figure in figures.items() if figure is not None}
    return rows


def squares(limit_s: float) -> Rows:
    """Print the table of the consecutive squares and return its figures."""
    rows: Rows = {}
    columns = ["squares 1..N", "rectangle", "engine fits", "one row less", "NoOverlap2D fits", "rectpack fits"]
    head("Consecutive squares", columns)
    lines = [line for line in (DATA / "consecutive_squares.csv").read_text().splitlines() if not line.startswith("#")]
    cases = [(int(r["N"]), int(r["W"]), int(r["H"])) for r in csv.DictReader(lines)]
    for n, w, h in [case for case in cases if case[0] <= 15]:
        sizes = [(k, k) for k in range(n, 0, -1)]
        limit = limit_of(limit_s)
        fits = timed(lambda s=sizes, f=(w, h): engine(s, f, limit_s, turned=False))
        tight = timed(
            lambda s=sizes, f=(w, h - 1), limit=limit: run_stages(boxes(s, f, turned=False), limit).result.status
        )
        words = "proven too small" if tight.outcome is Status.INFEASIBLE else "not proven"
        plain = timed(lambda s=sizes, f=(w, h): no_overlap_boxes(s, f, limit_s, turned=False))
        row: list[object] = [n, f"{w} x {h}", f"{'yes' if fits.outcome else 'no'}, {fits.cpu_s:.2f} s"]
        row += [f"{words}, {tight.cpu_s:.2f} s", f"{'yes' if plain.outcome else 'no'}, {plain.cpu_s:.2f} s"]
        say([*row, "yes" if rectpack_boxes(sizes, (w, h), turned=False) else "no"])
        rows[f"squares 1..{n}"] = {
            "fits": float(fits.outcome), "fits_cpu_s": round(fits.cpu_s, 2),
            "less_refused": float(tight.outcome is Status.INFEASIBLE), "less_refused_cpu_s": round(tight.cpu_s, 2),
        }  # fmt: skip
    return rows


def floorplans(limit_s: float) -> Rows:
    """Print the table of the floorplan sets, the least free area of a square outline reached; return its figures."""
    rows: Rows = {}
    columns = ["instance", "blocks", "published best area (second-hand)", "engine", "NoOverlap2D", "rectpack"]
    head("Floorplans, share of free area in a square outline", columns)
    loaded: dict[str, Any] = yaml.safe_load((DATA / "mcnc_gsrc.yaml").read_text())
    for one in loaded["instances"]:
        sizes = [(w, h) for _, w, h in one["blocks"]]
        area = sum(w * h for w, h in sizes)
        ways: tuple[Callable[[Size], bool], ...] = (
            lambda f, s=sizes: engine(s, f, limit_s, turned=True),
            lambda f, s=sizes: no_overlap_boxes(s, f, limit_s, turned=True),
            lambda f, s=sizes: rectpack_boxes(s, f, turned=True),
        )
        row: list[object] = [one["name"], one["n"], one.get("best_area", "-")]
        for way in ways:
            reached, free = "none", 100.0
            for waste in WASTE:
                side = ceil(sqrt(area * (1 + waste)))
                tried = timed(lambda way=way, side=side: way((side, side)))
                if not tried.outcome:
                    break
                free = 100 * (side * side / area - 1)
                reached = f"{free:.1f} % in {tried.cpu_s:.2f} s"
            row.append(reached)
            rows.setdefault(f"floorplan {one['name']}", {})[f"{WAYS[len(row) - 4]}_free_percent"] = round(free, 1)
        say(row)
    return rows


def main(argv: list[str]) -> int:
    """Print the tables that are asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--limit", type=float, default=10.0, help="processor seconds for each try, about")
    parser.add_argument("--most", type=int, default=30, help="pieces of a strip at most")
    parser.add_argument("--sets", nargs="*", default=["c", "t_n", "squares", "floorplans"])
    asked = parser.parse_args(argv)
    available()
    rows: Rows = {}
    if "squares" in asked.sets:
        rows |= squares(asked.limit)
    if "c" in asked.sets:
        rows |= strips("hopper_turton_c.yaml", asked.limit, asked.most)
    if "t_n" in asked.sets:
        rows |= strips("hopper_t_n.yaml", asked.limit, asked.most)
    if "floorplans" in asked.sets:
        rows |= floorplans(asked.limit)
    sys.stdout.write(f"{record('published', rows)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
