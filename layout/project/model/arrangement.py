"""An arrangement: one complete result of placing. The chosen one lives in the register."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.device import Turn
from layout.quantity import Number

Proof = Literal["optimal", "optimal for this order", "within", "feasible", "not usable"]
"""What is proven: optimal on the grid for these shapes; optimal for this order; within ``gap`` of the optimum;
feasible with no useful bound; not usable (it breaks rules and is only shown)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Where one device stands: its origin in panel coordinates (mm) and its turn, counter-clockwise."""

    device: str
    panel: str
    x: Annotated[float, Number(least=-10_000, most=10_000)]
    y: Annotated[float, Number(least=-10_000, most=10_000)]
    turn: Turn = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """Position and turn of every device that stands on a panel, with value and proof.

    Attributes
    ----------
    placed
        By device id, in the project's order.
    value, by_wish
        Cost of the wishes, lower is better, and its parts by wish name.
    bound, gap
        Proven least cost, and (value - bound) / value; None where there is no useful bound.
    clock_struck
        True if a time limit that the user set ended the work, so that a second run may differ.
    work
        What finding it took, counted: annealing moves and the exact solver's own count, in units of about a second of
        an ordinary core.
    rooms
        Places of reserved room, by its dotted path (``panels.wall.reserved.later``).
    made_of
        Short digests of what was solved, by thing (``panels.wall``, ``devices.radio``, ``rules``), to tell later
        what changed under it.
    """

    placed: Mapping[str, Placed]
    value: float = 0.0
    by_wish: Mapping[str, float] = field(default_factory=FrozenMap)
    proof: Proof = "feasible"
    bound: float | None = None
    gap: float | None = None
    grid: float = 1.0
    seed: int = 1
    work: float = 0.0
    clock_struck: bool = False
    rooms: Mapping[str, Placed] = field(default_factory=FrozenMap)
    made_of: Mapping[str, str] = field(default_factory=FrozenMap)
