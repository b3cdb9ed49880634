"""Print plain tables and measure time, the same way in every benchmark here."""

from __future__ import annotations

import os
import platform
import sys
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed(Generic[T]):
    """An outcome with the seconds on the wall and of the processor that it took."""

    outcome: T
    wall_s: float
    cpu_s: float


def timed(work: Callable[[], T]) -> Timed[T]:
    """Do some work and say how long it took."""
    wall, cpu = time.perf_counter(), time.process_time()
    outcome = work()
    return Timed(outcome=outcome, wall_s=time.perf_counter() - wall, cpu_s=time.process_time() - cpu)


def machine() -> str:
    """Return the machine's size in words: cores, load at the moment, versions."""
    from importlib import metadata

    load = os.getloadavg()[0]
    return (
        f"{os.cpu_count()} cores (load {load:.1f} at the start), Python {platform.python_version()}, "
        f"ortools {metadata.version('ortools')}, wasmtime {metadata.version('wasmtime')}"
    )


def say(*rows: Sequence[object]) -> None:
    """Print rows of a Markdown table at once."""
    for row in rows:
        sys.stdout.write("| " + " | ".join(str(cell) for cell in row) + " |\n")
    sys.stdout.flush()


def head(title: str, columns: Sequence[str]) -> None:
    """Print a title, the machine and the head of a table."""
    sys.stdout.write(f"\n{title}\n{machine()}\n\n")
    say(columns, ["---"] * len(columns))
