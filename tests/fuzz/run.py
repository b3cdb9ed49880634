"""Fuzz at length: ``python -m tests.fuzz.run TARGET COUNT [--first N] [--seconds S] [--atheris]``.

Prints how many inputs were tried and each kind of crash with the number of the input that made it; ``--first`` of that
number with a count of 1 makes it again. ``--atheris`` lets that library choose the inputs by what they reach
(``pip install atheris``, where it is to be had for this Python).
"""

from __future__ import annotations

import argparse
import os
import random
import sys
import tempfile
import time
import traceback
from dataclasses import dataclass, field
from pathlib import Path

if __name__ == "__main__" and "--atheris" in sys.argv:
    import atheris  # has no wheel for every Python

    with atheris.instrument_imports(include=["layout"]):
        from tests.fuzz.targets import TARGETS
else:
    from tests.fuzz.targets import TARGETS

SLOW_S = 20.0
"""Processor seconds after which an input is told as slow."""
MEMORY = next((folder for folder in ("/dev/shm",) if os.access(folder, os.W_OK)), None)
"""A folder that is no disk, where there is one."""


class Chance(random.Random):
    """A source of chance that draws from given bytes, so that like bytes make like inputs; then zeros."""

    def __init__(self, raw: bytes) -> None:
        super().__init__(0)
        self._raw = iter(raw)

    def getrandbits(self, k: int, /) -> int:
        """Return so many bits."""
        drawn_bytes = bytes(next(self._raw, 0) for _ in range((k + 7) // 8))
        return int.from_bytes(drawn_bytes, "little") & ((1 << k) - 1)

    def random(self) -> float:
        """Return a number from 0 to 1."""
        return self.getrandbits(53) / (1 << 53)


@dataclass(slots=True)
class Drawn:
    """How many inputs were tried, and the first number of each kind of crash."""

    count: int = 0
    crashes: dict[str, int] = field(default_factory=dict)


def drawn(name: str, count: int, *, first: int = 0, seconds: float = float("inf")) -> Drawn:
    """Try so many inputs of a target, from the first number on; end early when the processor seconds are spent."""
    done, target, until = Drawn(), TARGETS[name], time.process_time() + seconds
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
        for number in range(first, first + count):
            began = time.process_time()
            if began > until:
                break
            try:
                target(random.Random(number), Path(folder))
            except Exception as error:
                last = traceback.extract_tb(error.__traceback__)[-1]
                kind = f"{type(error).__name__} in {Path(last.filename).name}:{last.lineno}: {str(error)[:100]}"
                done.crashes.setdefault(kind, number)
            if time.process_time() - began > SLOW_S:
                done.crashes.setdefault("slow", number)
            done.count += 1
    return done


def guided(name: str, count: int, words: list[str]) -> None:
    """Let atheris choose the inputs; it ends at the first crash, and takes more words as its own."""
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:

        def once(raw: bytes) -> None:
            TARGETS[name](Chance(raw), Path(folder))

        atheris.Setup([sys.argv[0], f"-runs={count}", *words], once)
        atheris.Fuzz()


def main() -> None:
    """Run the command."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("target", choices=TARGETS)
    words.add_argument("count", type=int)
    words.add_argument("--first", type=int, default=0)
    words.add_argument("--seconds", type=float, default=float("inf"))
    words.add_argument("--atheris", action="store_true")
    told, more = words.parse_known_args()
    if told.atheris:
        guided(told.target, told.count, more)
    done = drawn(told.target, told.count, first=told.first, seconds=told.seconds)
    print(
        f"{told.target}: {done.count} inputs from number {told.first}, {len(done.crashes)} kinds of crash", flush=True
    )
    for kind, number in done.crashes.items():
        print(f"  {number}: {kind}")
    sys.exit(bool(done.crashes))


if __name__ == "__main__":
    main()
