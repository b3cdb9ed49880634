"""Processor seconds of what a user waits for while editing: one more device, a move, a reason; run by hand.

python -m tests.benchmarks.placing.answers

Aims: ``fits`` 3 ("no" included), one device moved with the rest kept 0.5, an explanation at 20 devices 10.
"""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from layout.placing.by_components import Effort
from layout.placing.explain import explain
from layout.placing.fits import fits, of_size
from layout.placing.judge import judge, refusals
from layout.placing.move import move
from layout.placing.place import place
from layout.project.reading.read import read
from tests.benchmarks.record import record
from tests.conftest import EXAMPLES
from tests.placing.overfull import overfull

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

T = TypeVar("T")

FACES = ((120, 120), (200, 160), (240, 200), (300, 120), (400, 300), (600, 400))
"""Sizes asked for, mm: from one that fits at once to one that fits nowhere."""


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """Return what a call gives, and the processor seconds it took."""
    begun = time.process_time()
    done = work()
    return done, round(time.process_time() - begun, 2)


def launch() -> tuple[Project, Arrangement]:
    """Return the survey launch, placed."""
    project = read(EXAMPLES / "launch" / "launch.yaml").project
    if project is None:
        raise ValueError("the launch can't be read")
    arrangement = place(project, effort=Effort.QUICK).arrangement
    if arrangement is None:
        raise ValueError("the launch was not placed")
    return project, arrangement


def asked(rows: dict[str, dict[str, float]]) -> None:
    """Ask for room of each size on the console, and on any panel."""
    project, arrangement = launch()
    for size in FACES:
        for panels in (("console",), tuple(project.panels)):
            device = replace(of_size(project, *size), panel=panels)
            found, spent = timed(lambda one=device: fits(project, arrangement, one))
            name = f"fits {size[0]}x{size[1]} on {len(panels)}"
            rows[name] = {"cpu_s": spent, "spots": len(found.spots), "movers": len(found.movers)}
    spent_on = [
        timed(lambda key=key, at=at: move(project, arrangement, key, (at.x + 1, at.y)))[1]
        for key, at in arrangement.placed.items()
    ]
    rows["move one, the rest kept"] = {"cpu_s": max(spent_on), "mean_cpu_s": round(sum(spent_on) / len(spent_on), 2)}


def explained(rows: dict[str, dict[str, float]]) -> None:
    """Explain panels of 20 devices that are over-full, and nearly."""
    for seed, load in ((1, 0.92), (2, 0.95), (3, 1.0), (4, 1.05), (5, 1.1)):
        one = overfull(seed, 20, load)
        found, spent = timed(lambda one=one: explain(one, effort=Effort.NORMAL))
        good = found.arrangement is not None and not refusals(judge(one, found.arrangement))
        rows[f"explain 20 devices at {load:.0%}"] = {"cpu_s": spent, "changes": len(found.changes), "fits": good}


def main() -> None:
    """Time all, print and record."""
    rows: dict[str, dict[str, float]] = {}
    asked(rows)
    explained(rows)
    for name, row in rows.items():
        print(f"{name:<34}" + "  ".join(f"{key} {value:g}" for key, value in row.items()))
    print(record("answers", rows))


if __name__ == "__main__":
    main()
