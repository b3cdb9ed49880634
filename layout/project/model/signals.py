"""Cables that carry signals, no supply: a tank's sender, a gas sensor, a shunt's sense wires, a speaker."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.aboard import Aboard, Existing
from layout.project.model.keys import Entry
from layout.quantity import RunLength, WireSize

MOST_CORES = 26
"""Cores are told apart by letters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Signal(Entry, Aboard):
    """One cable between two devices.

    Attributes
    ----------
    from_, to
        Devices at its two ends, written ``from`` and ``to``.
    cores
        Its cores: terminal of ``from``, and the terminal of ``to`` that it goes to.
    cable
        Kind of cable; left out, the first declared one that carries data.
    """

    SECTION: ClassVar[str] = "signals"
    id: str = ""
    name: str = ""
    from_: str
    to: str
    cores: Mapping[str, str] = field(default_factory=FrozenMap)
    cable: str | None = None
    size: WireSize | None = None
    wireways: tuple[str, ...] = ()
    length: RunLength | None = None
    aboard: Existing | None = None
    old_label: str = ""

    def __post_init__(self) -> None:
        if not self.cores:
            raise ValueError("a signal cable has no cores; write cores: {terminal at from: terminal at to}")
        if len(self.cores) > MOST_CORES:
            raise ValueError(f"a signal cable has {len(self.cores)} cores, at most {MOST_CORES}; write two cables")
        if self.from_ == self.to:
            raise ValueError(f"from and to are both '{self.to}'; name the device at each end")
