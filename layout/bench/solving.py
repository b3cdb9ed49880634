"""Placing beside the page: in a process of its own, with its best picture so far, until it ends or is stopped."""

from __future__ import annotations

import multiprocessing
import queue
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Mapping
    from multiprocessing.context import SpawnProcess

    from layout.bench.remedies import Remedy
    from layout.project.model.arrangement import Arrangement, Placed

CONTEXT = multiprocessing.get_context("spawn")


@dataclass(frozen=True, slots=True)
class PlacingAsked:
    """What is asked of a solve; ``keep`` are the devices that stay where they are."""

    path: str
    effort: str = "quick"
    seed: int = 1
    keep: tuple[str, ...] = ()
    alternatives: int = 1


@dataclass(slots=True)
class Solve:
    """One solve that goes on or has ended.

    Attributes
    ----------
    words
        What is being done, as the terminal says it.
    arrangements
        From best to worst, once it has ended; empty where nothing fits.
    lines
        Why nothing fits, or what else there is to say.
    best, pictures
        Where the best so far has each device, not judged yet, and how many such pictures there have been.
    remedies
        Where nothing fits, the single changes that would help, cheapest first.
    """

    asked: PlacingAsked
    words: str = "placing"
    ended: bool = False
    arrangements: tuple[Arrangement, ...] = ()
    lines: tuple[str, ...] = ()
    best: Mapping[str, Placed] = field(default_factory=FrozenMap)
    pictures: int = 0
    remedies: tuple[Remedy, ...] = ()
    _process: SpawnProcess | None = None
    _told: Any = None
    _stop: Any = None

    @classmethod
    def begin(cls, asked: PlacingAsked) -> Solve:
        """Start a solve."""
        told, stop = CONTEXT.Queue(), CONTEXT.Event()
        process = CONTEXT.Process(target=_work, args=(asked, told, stop), daemon=True)
        process.start()
        return cls(asked, _process=process, _told=told, _stop=stop)

    def stop(self) -> None:
        """Ask it to end; it keeps the best so far."""
        if self._stop is not None:
            self._stop.set()

    def end(self) -> None:
        """End it at once; nothing of it is kept."""
        if self._process is not None and self._process.is_alive():
            self._process.terminate()

    def look(self) -> None:
        """Take in what it has told meanwhile."""
        with suppress(queue.Empty, AttributeError):
            while True:
                kind, what = self._told.get_nowait()
                if kind == "words":
                    self.words = what
                elif kind == "best":
                    self.best, self.pictures = what, self.pictures + 1
                else:
                    self.arrangements, self.lines, self.remedies = what
                    self.ended = True
        if not self.ended and self._process is not None and not self._process.is_alive():
            self.ended, self.words = True, "the placing broke off; see the terminal"


def _work(asked: PlacingAsked, told: Any, stop: Any) -> None:
    from layout import flow
    from layout.bench.remedies import remedies_of
    from layout.placing.by_components import Effort
    from layout.placing.words import progress_words
    from layout.project.reading.read import read
    from layout.project.register import load, register_path

    path = Path(asked.path)
    project, (register, _) = read(path).project, load(register_path(path))
    if project is None or register is None:
        told.put(("done", ((), ("the project can't be read; look at its findings",), ())))
        return

    def watch(progress: Any) -> bool:
        told.put(("words", progress_words(progress)))
        return False

    def show(placed: Mapping[str, Placed]) -> None:
        told.put(("best", dict(placed)))

    arranged = flow.arrange(
        project, register, seed=asked.seed, effort=Effort(asked.effort), keep=asked.keep,
        alternatives=asked.alternatives, progress=watch, shown=show, stop=stop.is_set,
    )  # fmt: skip
    usable = tuple(one for one in arranged.arrangements if one.proof != "not usable")
    said = [line for line in arranged.lines if not (arranged.changes and line.startswith("  "))]
    lines = tuple(dict.fromkeys((*said, *(finding.message for finding in arranged.findings))))
    told.put(("done", (usable, lines, remedies_of(project, register.arrangement, arranged.changes))))
