"""Faults that arithmetic alone shows, each with its own sentence and names; no search."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.cores import core_reach, sound_cores
from layout.placing.engine.problem import SCALE, StepBox
from layout.placing.engine.rows import turn_bounds
from layout.placing.engine.slabs import union_area

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.cores import Cores
    from layout.placing.engine.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A proof, in one sentence, that the items named cannot all be placed.

    ``measured`` and ``limit`` are in mm or mm2 (``unit``).
    """

    kind: str
    message: str
    items: tuple[int, ...]
    measured: float = 0.0
    limit: float = 0.0
    unit: str = "mm"


def prechecks(problem: Problem) -> tuple[Fault, ...]:
    """Return every fault found; an empty tuple proves nothing."""
    faults = list(too_large(problem))
    if faults:
        return tuple(faults)
    faults += _pins(problem)
    cores = sound_cores(problem)
    around = [core_reach(item, core) for item, core in zip(problem.items, cores, strict=True)]
    must = [
        k for k, item in enumerate(problem.items) if cores[k] is not None and item.absent_cost is None and around[k]
    ]
    faults += _area(problem, cores, around, must)
    faults += _stack(problem, cores, around, must)
    return tuple(faults)


def _mm(steps: int) -> float:
    return steps / SCALE


def _names(problem: Problem, items: list[int]) -> str:
    return ", ".join(problem.items[k].name for k in items)


def too_large(problem: Problem) -> list[Fault]:
    """Return a fault for each item that must be there and has no position, even alone."""
    found = []
    for k, item in enumerate(problem.items):
        if item.absent_cost is None and all(turn_bounds(turn) is None for turn in item.turns):
            found.append(Fault(kind="too large", message=f"{item.name} fits nowhere on its panel, alone", items=(k,)))
    return found


def _pins(problem: Problem) -> list[Fault]:
    found = []
    pinned = [(k, item, item.pin) for k, item in enumerate(problem.items) if item.pin is not None]
    for at, (k, item, pin) in enumerate(pinned):
        turn = item.turns[pin.turn]
        if not any(room.holds(pin.x, pin.y) for room in turn.rooms):
            found.append(Fault(kind="pin outside", message=f"{item.name} is pinned outside its panel", items=(k,)))
        for region in turn.forbidden:
            if region.holds(pin.x, pin.y):
                text = f"{item.name} is pinned where {region.rule} forbids it"
                found.append(Fault(kind="pin forbidden", message=text, items=(k,)))
        for i, other, there in pinned[:at]:
            for region in problem.pairs.between(i, there.turn, k, pin.turn):
                if region.holds(pin.x - there.x, pin.y - there.y):
                    text = f"{other.name} and {item.name} are pinned closer than {region.rule} allows"
                    found.append(Fault(kind="pins collide", message=text, items=(i, k)))
                    break
    return found


def _area(problem: Problem, cores: tuple[Cores, ...], around: list[StepBox | None], must: list[int]) -> list[Fault]:
    """Compare the items' areas with the union of where they can be, for growing sets of small reach."""
    reach = {k: box for k in must if (box := around[k]) is not None}
    for frame in sorted(set(reach.values()), key=lambda box: (box.area, box.x0, box.y0)):
        inside = [k for k, box in reach.items() if _holds(frame, box)]
        total = sum(min(core.area for core in cores[k] or ()) for k in inside)
        blocked = [_cut(frame, box) for _, box in problem.obstacles if frame.overlaps(box)]
        spans = [box for k, box in reach.items() if k in inside]
        free = union_area([*spans]) - union_area(blocked) if not blocked else frame.area - union_area(blocked)
        if total > free:
            text = (
                f"{_names(problem, inside)} with their gaps need {total / SCALE**2:.0f} mm2, "
                f"where they may go there are {free / SCALE**2:.0f} mm2"
            )
            return [
                Fault(
                    kind="area",
                    message=text,
                    items=tuple(inside),
                    measured=total / SCALE**2,
                    limit=free / SCALE**2,
                    unit="mm2",
                )
            ]
    return []


def _holds(frame: StepBox, box: StepBox) -> bool:
    return frame.x0 <= box.x0 and frame.y0 <= box.y0 and box.x1 <= frame.x1 and box.y1 <= frame.y1


def _cut(frame: StepBox, box: StepBox) -> StepBox:
    return StepBox(max(frame.x0, box.x0), max(frame.y0, box.y0), min(frame.x1, box.x1), min(frame.y1, box.y1))


def _stack(problem: Problem, cores: tuple[Cores, ...], around: list[StepBox | None], must: list[int]) -> list[Fault]:
    """Items wider than half of where they can be must stand above each other: their heights add up."""
    found = []
    size: dict[str, Callable[[StepBox], int]] = {"wide": lambda box: box.width, "tall": lambda box: box.height}
    for word, other, direction in (("wide", "tall", "above"), ("tall", "wide", "beside")):
        long, high = size[word], size[other]
        least = {k: min(long(core) for core in cores[k] or ()) for k in must}
        frames = sorted({box for k in must if (box := around[k])}, key=lambda box: (box.area, box.x0, box.y0))
        for frame in frames:
            inside = [k for k in must if (box := around[k]) and _holds(frame, box)]
            stacked = _pairwise(inside, least, long(frame))
            total = sum(min(high(core) for core in cores[k] or ()) for k in stacked)
            if len(stacked) > 1 and total > high(frame):
                text = (
                    f"{_names(problem, stacked)} are too {word} to stand side by side, so they stand {direction} each "
                    f"other, and with their gaps need {_mm(total):g} mm where there are {_mm(high(frame)):g} mm"
                ).replace(
                    "too tall to stand side by side, so they stand beside",
                    "too tall to stand above, so they stand beside",
                )
                found.append(
                    Fault(
                        kind="stack",
                        message=text,
                        items=tuple(stacked),
                        measured=_mm(total),
                        limit=_mm(high(frame)),
                    )
                )
                break
    return found


def _pairwise(inside: list[int], least: dict[int, int], room: int) -> list[int]:
    """Return a large set of items of which no two fit side by side."""
    chosen: list[int] = []
    for k in sorted(inside, key=lambda k: (-least[k], k)):
        if not chosen or least[chosen[-1]] + least[k] > room:
            chosen.append(k)
    return sorted(chosen)
