"""Design current of a load: amperes as given, or watts over the lowest working voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.project.model.circuits import Load

LOWEST_SHARE = 0.9
"""Lowest working voltage against nominal where neither load nor supply says it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignCurrent:
    """Current that a conductor is sized for, and how it was found; None is unknown, never zero."""

    current_a: float | None
    text: str


UNKNOWN_CURRENT = DesignCurrent(current_a=None, text="not known")


def lowest_v(*, nominal_v: float, load_v: float | None = None, supply_v: float | None = None) -> float:
    """Return the lowest working voltage: the load maker's, else the supply's, else 0.9 of nominal."""
    return load_v or supply_v or LOWEST_SHARE * nominal_v


def from_power(power_w: float, *, volts: float, efficiency: float = 1.0) -> DesignCurrent:
    """Return ``W / lowest voltage``; a converter's input divides by its efficiency as well."""
    share = f" / {efficiency:.2g}" if efficiency != 1.0 else ""
    return DesignCurrent(current_a=power_w / volts / efficiency, text=f"{power_w:g} W / {volts:g} V{share}")


def design_current(load: Load | None, *, nominal_v: float | None, supply_v: float | None = None) -> DesignCurrent:
    """Return the current of a declared load.

    Parameters
    ----------
    load
        None, or one without current and power, is unknown.
    nominal_v, supply_v
        Nominal voltage of its system, and the lowest working voltage of its supply where that is given.
    """
    if load is None:
        return UNKNOWN_CURRENT
    if load.current is not None:
        return DesignCurrent(current_a=load.current, text=f"{load.current:g} A")
    if load.power is None or nominal_v is None:
        return UNKNOWN_CURRENT
    return from_power(load.power, volts=lowest_v(nominal_v=nominal_v, load_v=load.lowest_voltage, supply_v=supply_v))
