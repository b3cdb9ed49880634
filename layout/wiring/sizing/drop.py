"""Drop on a run by both formulas; the worse decides.

The practice's formula is cold and round; the resistance of IEC 60228 or ASTM copper at working temperature is what
a meter would see. Both are linear in the current, so each run has one resistance that stands for the worse of them.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.conductors import ConductorSize, resistance_ohm_per_km
from layout.standards.voltage_drop import resistivity_ohm_mm2_per_m

if TYPE_CHECKING:
    from layout.standards.tables import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Copper:
    """How the copper of a project is made and how warm it runs."""

    temperature_c: float = 50.0
    tinned: bool = True
    strand_class: int = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """Drop on a length of conductor, V, by both formulas."""

    formula_v: float
    copper_v: float

    @property
    def worse_v(self) -> float:
        """The one that decides."""
        return max(self.formula_v, self.copper_v)


@cache
def copper_ohm_per_m(size: ConductorSize, *, practice: Practice, copper: Copper) -> tuple[float, float]:
    """Return ohm per metre of one conductor: by the practice's formula, and of the copper at working temperature."""
    formula = resistivity_ohm_mm2_per_m(practice) / size.area_mm2
    real = resistance_ohm_per_km(
        size, temperature_c=copper.temperature_c, tinned=copper.tinned, strand_class=copper.strand_class
    )
    return formula, real / 1000


def drop(size: ConductorSize, *, practice: Practice, copper: Copper, current_a: float, loop_m: float) -> Drop:
    """Return the drop of a current over ``loop_m`` metres of conductor (both legs of a pair together)."""
    formula, real = copper_ohm_per_m(size, practice=practice, copper=copper)
    return Drop(formula_v=formula * current_a * loop_m, copper_v=real * current_a * loop_m)


def ohm(size: ConductorSize, *, practice: Practice, copper: Copper, length_m: float) -> float:
    """Return the resistance that decides, for one conductor of a length."""
    return max(copper_ohm_per_m(size, practice=practice, copper=copper)) * length_m
