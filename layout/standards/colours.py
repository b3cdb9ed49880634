"""Conductor colours by practice, with what must not be used."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from layout.standards.tables import Practice, all_tables


class Role(StrEnum):
    """What a conductor does in its circuit."""

    POSITIVE = "positive"
    NEGATIVE = "negative"
    LINE = "line"
    NEUTRAL = "neutral"
    PROTECTIVE = "protective"
    BONDING = "bonding"


NEVER_DC_POWER = ("light blue", "white", "brown")
"""Not for DC power conductors on a boat with AC: they are AC colours there."""

PROTECTIVE = ("green with yellow stripe", "green with yellow stripes")
"""Green-yellow in other words; green with a stripe of another colour serves DC circuits (ABYC E-11 Table XV)."""


def colour(role: Role, *, practice: Practice, voltage_v: float, ac_aboard: bool, purpose: str = "") -> str:
    """Return the colour of a new conductor.

    Parameters
    ----------
    role
        What it does.
    practice
        ISO 13297 or ABYC E-11.
    voltage_v
        Nominal; tells 120 V from 230 V on AC.
    ac_aboard
        Whether any AC exists aboard: then new DC negatives are yellow.
    purpose
        A key of ABYC Table XV (``navigation_lights``, ``pumps``); brown and light blue are passed over where AC is
        aboard, and red is taken instead.
    """
    if role in (Role.PROTECTIVE, Role.BONDING):
        return "green-yellow"
    if role is Role.NEGATIVE:
        return "yellow" if ac_aboard else "black"
    if role is Role.LINE:
        return "black" if practice is Practice.ABYC and voltage_v < 200 else "brown"
    if role is Role.NEUTRAL:
        return "white" if practice is Practice.ABYC and voltage_v < 200 else "light blue"
    if practice is Practice.ABYC:
        found = abyc_circuit_colour(purpose)
        if found is not None and not (ac_aboard and found.split(" with ")[0] in NEVER_DC_POWER):
            return found
    return "red"


def abyc_circuit_colour(purpose: str) -> str | None:
    """Return the first colour of ABYC E-11 Table XV for a purpose; None where it has none."""
    found = all_tables("colours")["abyc_e11_dc"]["circuits"].get(purpose)
    if isinstance(found, list):
        return str(found[0])
    return None if found is None else str(found)


def fault_of(colour_name: str, role: Role, *, ac_aboard: bool) -> str | None:
    """Return why a colour is wrong for a DC or AC conductor, or None.

    Existing black negatives are not faults: they stay and are noted.
    """
    name = colour_name.strip().lower()
    green = name in PROTECTIVE or (name.startswith("green") and "stripe" not in name)
    if role in (Role.PROTECTIVE, Role.BONDING):
        return None if name.startswith("green") else f"a {role.value} conductor is green or green-yellow, not {name}"
    if green:
        return f"{name} is kept for protective conductors"
    if role in (Role.POSITIVE, Role.NEGATIVE) and ac_aboard and name in NEVER_DC_POWER:
        return f"{name} is an AC colour and never a DC power conductor"
    if role is Role.LINE and name not in ("brown", "black", "grey", "red"):
        return f"a line is brown or black, not {name}"
    if role is Role.NEUTRAL and name not in ("light blue", "blue", "white"):
        return f"a neutral is light blue or white, not {name}"
    if role is Role.POSITIVE and name in ("black", "yellow"):
        return f"{name} is a negative's colour"
    if role is Role.NEGATIVE and name not in ("yellow", "black", "black with yellow stripe"):
        return f"a negative is yellow or black, not {name}"
    return None


def colour_of_code(code: str) -> str | None:
    """Return the colour of letters of IEC 60757 (``RD``, ``GNYE``), from memory; None if they are none."""
    codes: dict[str, Any] = all_tables("colours")["iec_60445"]["letter_codes"]["codes"]
    found = codes.get(code.strip().upper().replace("-", "").replace("/", ""))
    return None if found is None else str(found)


def letter_code(colour_name: str) -> str | None:
    """Return the letters of IEC 60757 (``RD``, ``RD/YE`` with a stripe), from memory; None if there are none."""
    codes: dict[str, Any] = all_tables("colours")["iec_60445"]["letter_codes"]["codes"]
    by_name = {str(name): str(code) for code, name in codes.items()}
    by_name |= {"light blue": "BU", "dark blue": "BU", "dark grey": "GY", "purple": "VT", "gray": "GY"}
    base, _, stripe = colour_name.partition(" with ")
    parts = [base, stripe.removesuffix(" stripe")] if stripe else [base]
    found = [by_name.get(part) for part in parts]
    return None if None in found else "/".join(str(code) for code in found)
