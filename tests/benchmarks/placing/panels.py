"""Panels with a known tight fit: cut a panel, shrink the pieces by the gap, remove some until the load is met."""

from __future__ import annotations

import random
from dataclasses import dataclass

from layout.placing.engine.problem import (
    SCALE,
    AbsTerm,
    AnyZeroTerm,
    Linear,
    PackItem,
    Problem,
    StepBox,
    Term,
    TurnOption,
)
from layout.placing.engine.stage_result import Positions
from tests.placing.engine.boxes import BoxPairs, box_room


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A made panel in mm: sizes of the devices, where each lay when it was cut, and the load."""

    width: int
    height: int
    gap: int
    edge: int
    sizes: tuple[tuple[int, int], ...]
    known: tuple[tuple[int, int], ...]

    @property
    def load(self) -> float:
        """Gap-inflated area of the devices over the region between the edges."""
        free = (self.width - 2 * self.edge + self.gap) * (self.height - 2 * self.edge + self.gap)
        return sum((w + self.gap) * (h + self.gap) for w, h in self.sizes) / free


def cut(rng: random.Random, width: int, height: int, pieces: int, least: int) -> list[tuple[int, int, int, int]]:
    """Cut a rectangle into so many by straight cuts, the largest first; returns (x, y, w, h) of each."""
    parts = [(0, 0, width, height)]
    while len(parts) < pieces:
        parts.sort(key=lambda p: (p[2] * p[3], p))
        x, y, w, h = parts.pop(rng.randrange(max(0, len(parts) - 3), len(parts)))
        along_x = w > h if rng.random() < 0.8 else w <= h
        side = w if along_x else h
        if side < 2 * least:
            along_x, side = not along_x, h if along_x else w
        if side < 2 * least:
            parts.append((x, y, w, h))
            least = max(4, least - 1)
            continue
        at = rng.randint(max(least, int(side * 0.3)), min(side - least, int(side * 0.7) + 1))
        if along_x:
            parts += [(x, y, at, h), (x + at, y, w - at, h)]
        else:
            parts += [(x, y, w, at), (x, y + at, w, h - at)]
    return parts


def make(devices: int, load: float, seed: int, *, width: int = 900, height: int = 500, gap: int = 15) -> Panel:
    """Make a panel of so many devices whose load is close to the one asked for, and not below it by 2 %."""
    rng = random.Random(f"{devices}/{load}/{seed}")
    edge = gap
    free_w, free_h = width - 2 * edge + gap, height - 2 * edge + gap
    best: tuple[float, list[tuple[int, int, int, int]]] | None = None
    for _ in range(200):
        parts = cut(rng, free_w, free_h, max(devices, round(devices / load)), 2 * gap + 10)
        rng.shuffle(parts)
        kept = parts[:devices]
        off = abs(sum(w * h for _, _, w, h in kept) / (free_w * free_h) - load)
        if best is None or off < best[0]:
            best = (off, kept)
    assert best is not None
    return Panel(
        width=width,
        height=height,
        gap=gap,
        edge=edge,
        sizes=tuple((w - gap, h - gap) for _, _, w, h in best[1]),
        known=tuple((x + edge, y + edge) for x, y, _, _ in best[1]),
    )


def problem(panel: Panel, *, wishes: str = "points", seed: int = 0) -> Problem:
    """State a made panel as a problem.

    ``wishes`` is "none", "points" (a point for each, wire to the lower left corner, some near each other,
    some in line) or "zones" (no cost inside a zone of the panel, near each other beyond 40 mm, in line).
    """
    gap = panel.gap * SCALE
    items, faces = [], []
    for k, (w, h) in enumerate(panel.sizes):
        face = StepBox(-w, -h, w, h)  # in steps: half the size on each side of the centre, doubled
        left, low = panel.edge * SCALE + w, panel.edge * SCALE + h
        room = box_room(left, low, panel.width * SCALE - left, panel.height * SCALE - low)
        core = StepBox(face.x0, face.y0, face.x1 + gap, face.y1 + gap)
        items.append(PackItem(name=f"D{k + 1}", turns=(TurnOption(rooms=(room,), core=core),)))
        faces.append((face,))
    return Problem(
        items=tuple(items),
        pairs=BoxPairs(faces=tuple(faces), gap=gap),
        terms=_wishes(panel, wishes, random.Random(f"wishes/{wishes}/{seed}")),
    )


def known(panel: Panel) -> Positions:
    """Return the arrangement that the panel was cut from."""
    return Positions(
        positions=tuple(
            (x * SCALE + w, y * SCALE + h) for (x, y), (w, h) in zip(panel.known, panel.sizes, strict=True)
        ),
        turns=(0,) * len(panel.sizes),
        present=(True,) * len(panel.sizes),
    )


def _wishes(panel: Panel, kind: str, rng: random.Random) -> tuple[Term, ...]:
    n = len(panel.sizes)
    terms: list[Term] = []
    if kind == "none":
        return ()
    size = (panel.width * SCALE, panel.height * SCALE)
    for k in range(n):
        weight = rng.randint(1, 3)
        for axis in (0, 1):
            at = rng.randint(0, size[axis])
            slack = size[axis] // 6 if kind == "zones" else 0
            expr = Linear(terms=((k, axis, 1),), const=-at)
            terms.append(AbsTerm(name=f"D{k + 1} near", weight=weight, expr=expr, slack=slack))
            if kind == "points":
                expr = Linear(terms=((k, axis, 1),))
                terms.append(AbsTerm(name=f"D{k + 1} wire", weight=1, expr=expr))
    for _ in range(n // 3):
        i, j = sorted(rng.sample(range(n), 2))
        for axis in (0, 1):
            expr = Linear(terms=((i, axis, 1), (j, axis, -1)))
            terms.append(AbsTerm(name=f"D{i + 1} near D{j + 1}", weight=2, expr=expr, slack=40 * SCALE))
    for _ in range(n // 3):
        i, j = sorted(rng.sample(range(n), 2))
        exprs = [Linear(terms=((i, axis, 1), (j, axis, -1))) for axis in (0, 1)]
        for axis in (0, 1):
            half = (panel.sizes[i][axis], panel.sizes[j][axis])
            exprs += [Linear(terms=((i, axis, 1), (j, axis, -1)), const=s * (half[0] - half[1])) for s in (-1, 1)]
        terms.append(AnyZeroTerm(name=f"D{i + 1} in line with D{j + 1}", weight=200, exprs=tuple(exprs)))
    return tuple(terms)
