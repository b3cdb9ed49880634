"""Cables that the networks lay and that take up room in the wireways: instrument buses and antenna leads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.standards.conduit import circle_mm2


@dataclass(frozen=True, slots=True, kw_only=True)
class NetworkCable:
    """One cable with its way.

    ``od_mm`` is None where its diameter is not known, ``plug_mm`` where no plug stays on it, ``bend_radius_mm`` where
    its bends are judged by whoever lays it.

    ``key`` names it inside its owner: ``antennas.radio``, ``networks.main:drop depth``.
    """

    key: str
    name: str
    run_class: Literal["data", "antenna"]
    od_mm: float | None
    wireways: tuple[str, ...]
    plug_mm: float | None = None
    bend_radius_mm: float | None = None

    @property
    def owner(self) -> str:
        """Dotted key of the entry that declares it."""
        return self.key.partition(":")[0]

    @property
    def area_mm2(self) -> float:
        """Area of the cable; 0 where its diameter is not known, which has its own finding."""
        return 0.0 if self.od_mm is None else circle_mm2(self.od_mm)
