"""Quantities as people write them (``1/2 in``, ``14 AWG``, ``35 W``), turned once into plain numbers.

Inside spile a length is in millimetres, a current in amperes, and so on (``UNITS``); a model field says which by its
type alias (``Mm``, ``Amp``). A bare number is taken only where it can't be misread: millimetres for things on a
panel, degrees for turns.
"""

from __future__ import annotations

import operator
import re
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated

from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Callable

UNITS: dict[str, dict[str, float]] = {
    "length": {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, '"': 25.4, "ft": 304.8},
    "area": {"mm2": 1.0, "mm²": 1.0, "cm2": 100.0, "cm²": 100.0, "m2": 1e6, "m²": 1e6},
    "current": {"A": 1.0, "mA": 0.001, "kA": 1000.0},
    "voltage": {"V": 1.0, "mV": 0.001, "kV": 1000.0},
    "power": {"W": 1.0, "mW": 0.001, "kW": 1000.0},
    "resistance": {"ohm": 1.0, "Ω": 1.0, "mohm": 0.001, "mΩ": 0.001},
    "line resistance": {"ohm/m": 1.0, "Ω/m": 1.0, "ohm/km": 0.001, "Ω/km": 0.001},
    "mass": {"kg": 1.0, "g": 0.001, "lb": 0.45359237},
    "temperature": {"C": 1.0, "°C": 1.0},
    "charge": {"Ah": 1.0, "mAh": 0.001},
    "energy": {"Wh": 1.0, "kWh": 1000.0},
    "time": {"h": 1.0, "min": 1 / 60, "s": 1 / 3600},
    "angle": {"deg": 1.0, "°": 1.0},
    "frequency": {"MHz": 1.0, "kHz": 0.001, "Hz": 1e-6, "GHz": 1000.0},
    "attenuation": {"dB": 1.0},
    "ratio": {"%": 0.01},
}
"""Units by kind, each with its factor to the unit used inside, which stands first."""

INSIDE = {kind: next(iter(units)) for kind, units in UNITS.items() if kind != "ratio"}
"""Unit used inside, by kind; a ratio is a plain number (``50 %`` is 0.5)."""

OHM_SIGN = "\u2126"
"""The letterlike ohm sign; read as the Greek letter."""

EXAMPLES = {
    "length": "12 mm or 1/2 in",
    "area": "2.5 mm2",
    "current": "1.5 A",
    "voltage": "12 V",
    "power": "35 W",
    "resistance": "6 mohm",
    "line resistance": "0.057 ohm/m",
    "mass": "1.2 kg",
    "temperature": "60 °C",
    "charge": "200 Ah",
    "energy": "480 Wh",
    "time": "4 h",
    "angle": "90 deg",
    "frequency": "156.8 MHz",
    "attenuation": "3 dB",
    "ratio": "50 %",
}
"""What to write, for messages."""

_NUMBER = r"[+-]?(?:\d+\s+\d+\s*/\s*\d+|\d+-\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+\.?\d*|\.\d+)"
_QUANTITY = re.compile(rf"(?P<number>{_NUMBER})\s*(?P<unit>[^\d\s+\-.,:/].*)?")
_MOST_SIGNS = 100
"""Signs of a quantity's text; more are no quantity, and would only be slow to find so."""


def _escaped(unit: str) -> str:
    """Return a unit as a regular expression that ECMA-262 reads too, where few signs may be escaped."""
    return "".join(f"\\{sign}" if sign in "/." else sign for sign in unit)


WIRE_SIZE_PATTERN = (
    r"^\s*(?:(?:[Aa][Ww][Gg]\s*)?(?:\d{1,2}|[1-4]/0)\s*[Aa][Ww][Gg]|[Aa][Ww][Gg]\s*(?:\d{1,2}|[1-4]/0)|"
    + r"(?:18|16|14|12|10|8|6|4|2|1|[1-4]/0)\s*[Ss][Aa][Ee]|"
    + rf"{_NUMBER}\s*(?:mm2|mm²|cm2|cm²|m2|m²))\s*$"
)
"""What a wire size looks like, for editors; a regular expression that ECMA-262 reads too."""


def written_pattern(kind: str, *, bare: bool) -> str:
    """Return what a quantity looks like, for editors: what it refuses, the reader refuses as well."""
    signs = (*UNITS[kind], *(unit.replace("Ω", OHM_SIGN) for unit in UNITS[kind] if "Ω" in unit))
    unit = f"(?:{'|'.join(map(_escaped, signs))})"
    return rf"^\s*{_NUMBER}\s*{unit}{'?' if bare else ''}\s*$"


class QuantityError(ValueError):
    """A quantity was written in a way that can't be read; the text says what to write instead."""


class OutOfRangeError(QuantityError):
    """A quantity can be read, but lies outside the bounds of what it stands for."""


def parse(text: object, kind: str, *, bare: bool = False) -> float:
    """Read one quantity.

    Parameters
    ----------
    text
        What stands in the file: ``"3 1/8 in"``, ``"1.5 A"``, or a number.
    kind
        A key of ``UNITS``.
    bare
        Whether a number without unit is taken, in the unit used inside.

    Returns
    -------
    float
        The value in the unit used inside (``INSIDE``).

    Raises
    ------
    QuantityError
        If it is no number with a unit of that kind.
    """
    example = EXAMPLES[kind]
    if isinstance(text, bool) or not isinstance(text, int | float | str):
        raise QuantityError(f"expected {_a(kind)} like {example}, found {_shown(text)}")
    if isinstance(text, int | float):
        text = format(Decimal(repr(text)), "f")
    text = text.strip().replace(OHM_SIGN, "Ω")
    is_short = len(text) <= _MOST_SIGNS
    match = _QUANTITY.fullmatch(text) if is_short else None
    if match is None:
        comma = is_short and re.fullmatch(r"\d+,\d+(\s*\S+)?", text)
        hint = f"; write a decimal point: {text.replace(',', '.')}" if comma else ""
        raise QuantityError(f"expected {_a(kind)} like {example}, found {_shown(text)}{hint}")
    value = _number(match["number"])
    unit = match["unit"]
    if unit is None and not bare:
        raise QuantityError(f"{_shown(text)} has no unit; write {_a(kind)} like {example}")
    factor = 1.0 if unit is None else UNITS[kind].get(unit)
    if factor is None:
        raise QuantityError(_wrong_unit(unit, kind))
    try:
        return float(value * _exact(repr(factor)))  # exact until here: 3/8 in is 9.525 mm
    except OverflowError:
        raise QuantityError(f"expected {_a(kind)} like {example}, found {_shown(text)}") from None


_exact = lru_cache(maxsize=1_000)(Fraction)


@lru_cache(maxsize=10_000)
def _number(text: str) -> Fraction:
    sign = -1 if text.startswith("-") else 1
    parts = text.lstrip("+-").replace("-", " ").replace("/", " / ").split()
    try:
        if "/" not in parts:
            return sign * Fraction(parts[0])
        *whole, over, _, under = parts
        return sign * (Fraction(whole[0] if whole else 0) + Fraction(int(over), int(under)))
    except (ZeroDivisionError, ValueError):
        raise QuantityError(f"{_shown(text)} is no number") from None


def _a(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _wrong_unit(unit: str, kind: str) -> str:
    for other, units in UNITS.items():
        if unit in units:
            return f"'{unit}' is a unit of {other}; expected {_a(kind)} like {EXAMPLES[kind]}"
    near = [known for known in UNITS[kind] if known.lower() == unit.lower()]
    hint = f"did you mean {near[0]}?" if near else f"write one of {', '.join(UNITS[kind])}"
    return f"'{unit}' is no unit of {kind}; {hint}"


def _shown(value: object) -> str:
    if value is None:
        return "nothing"
    text = str(value)
    text = text if len(text) <= 40 else f"{text[:39]}…"
    return {dict: "a table", list: "a list", bool: f"'{text}'".lower()}.get(type(value), f"'{text}'")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What a number may be, in the unit used inside; None where there is no bound on that side."""

    above: float | None = None
    least: float | None = None
    most: float | None = None

    def in_words(self, unit: str = "") -> str:
        """Say the bounds: ``more than 0 A, at most 10000 A``."""
        return ", ".join(f"{words} {_limit(bound, unit)}" for words, bound, _ in self._rows() if bound is not None)

    def check(self, number: float, *, what: str, shown: object, unit: str = "") -> None:
        """Let a number pass that holds the bounds.

        Raises
        ------
        OutOfRangeError
            If it does not.
        """
        for words, bound, holds in self._rows():
            if bound is not None and not holds(number, bound):
                raise OutOfRangeError(f"expected {what} of {words} {_limit(bound, unit)}, found '{shown}'")

    def _rows(self) -> tuple[tuple[str, float | None, Callable[[float, float], bool]], ...]:
        return (
            ("more than", self.above, operator.gt),
            ("at least", self.least, operator.ge),
            ("at most", self.most, operator.le),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Number(Bounds):
    """Mark on a plain number of the model: its bounds."""


@dataclass(frozen=True, slots=True)
class QuantityKind(Bounds):
    """Mark on a model field: which kind of quantity stands there, and its bounds in the unit used inside."""

    name: str
    bare: bool = field(default=False, kw_only=True)

    def read(self, value: object) -> float:
        """Read and bound one value.

        Raises
        ------
        QuantityError
            If it can't be read or lies outside the bounds.
        """
        number = parse(value, self.name, bare=self.bare)
        self.check(number, what=_a(self.name), shown=value, unit=self.unit)
        return number

    @property
    def unit(self) -> str:
        """Unit that the bounds are said in."""
        return INSIDE.get(self.name, "%")


def _limit(bound: float, unit: str) -> str:
    number = Decimal(repr(100 * bound if unit == "%" else bound))
    text = format(number.quantize(Decimal(1)) if number == number.to_integral_value() else number.normalize(), "f")
    return f"{text} {unit}".rstrip()


THINNEST_AWG = 40
"""Highest gauge number that ASTM B258 lists for wire here."""

_CONDUCTOR = QuantityKind("area", least=0.03, most=1_000)
"""Area of a conductor, mm2."""


@dataclass(frozen=True, slots=True)
class WireSize:
    """Nominal conductor size: an area in mm2, an AWG number or an SAE number, one of them; printed as it is written."""

    area_mm2: float | None = None
    awg: str | None = None
    sae: str | None = None

    def __str__(self) -> str:
        if self.sae is not None:
            return f"{self.sae} SAE"
        return f"{self.area_mm2:g} mm²" if self.awg is None else f"{self.awg} AWG"

    @property
    def gauge(self) -> str | None:
        """Its number, AWG or SAE; None for an area."""
        return self.awg or self.sae

    @classmethod
    def read(cls, text: object) -> WireSize:
        """Read ``2.5 mm2``, ``14 AWG``, ``2/0 AWG`` or ``14 SAE``.

        Raises
        ------
        QuantityError
            If it is neither.
        """
        if isinstance(text, WireSize):
            return text
        if isinstance(text, str):
            gauge = re.fullmatch(r"(?:AWG\s*)?(\d{1,2}|[1-4]/0)(?:\s*AWG)?", text.strip(), re.IGNORECASE)
            if gauge and "awg" in text.lower():
                if gauge[1].isdigit() and int(gauge[1]) > THINNEST_AWG:
                    raise OutOfRangeError(f"expected a gauge from 4/0 to {THINNEST_AWG}, found '{gauge[1]} AWG'")
                return cls(awg=gauge[1])
            if sae := re.fullmatch(r"(18|16|14|12|10|8|6|4|2|1|[1-4]/0)\s*SAE", text.strip(), re.IGNORECASE):
                return cls(sae=sae[1])
            if not re.search("awg|sae", text, re.IGNORECASE):
                return cls(area_mm2=_CONDUCTOR.read(text))
        raise QuantityError(f"expected a wire size like 2.5 mm2 or 14 AWG, found {_shown(text)}")


Mm = Annotated[float, QuantityKind("length", bare=True, least=-5_000, most=5_000)]
"""Length or position of a thing on a panel, mm; any sign."""
BoatMm = Annotated[float, QuantityKind("length", bare=True, least=-200_000, most=200_000)]
"""Position in the boat's frame, mm."""
Size = Annotated[float, QuantityKind("length", bare=True, least=0.1, most=5_000)]
"""Size of a thing on a panel, mm; the largest panel is 5 m wide."""
Thickness = Annotated[float, QuantityKind("length", bare=True, least=0.3, most=100)]
"""Thickness of a sheet, mm."""
Diameter = Annotated[float, QuantityKind("length", bare=True, least=0.3, most=500)]
"""Diameter of a drill, a saw, a cable, a plug or a conduit, mm."""
Gap = Annotated[float, QuantityKind("length", bare=True, least=0, most=2_000)]
"""Free space, mm, 0 or more."""
Margin = Annotated[float, QuantityKind("length", bare=True, least=0, most=60)]
"""What paper or a saw takes away at an edge, mm."""
RunLength = Annotated[float, QuantityKind("length", above=0, most=1_000_000)]
"""Length of a wireway, cable or conductor, mm inside, never written without its unit."""
Distance = Annotated[float, QuantityKind("length", least=0, most=1_000_000)]
"""Length along a cable that may be nothing, mm inside, never written without its unit."""
Slack = Annotated[float, QuantityKind("length", least=0, most=10_000)]
"""What is cut longer than needed, mm inside, never written without its unit."""
Amp = Annotated[float, QuantityKind("current", above=0, most=10_000)]
"""Current, rating or setting, A; a load of no current is no load."""
RestAmp = Annotated[float, QuantityKind("current", least=0, most=1_000)]
"""Current of something that may be at rest, A."""
FaultAmp = Annotated[float, QuantityKind("current", above=0, most=200_000)]
"""Current into a short circuit, A."""
ResidualAmp = Annotated[float, QuantityKind("current", least=0.001, most=30)]
"""Residual current that trips a device, A (IEC 60755: 6 mA to 30 A)."""
Volt = Annotated[float, QuantityKind("voltage", above=0, most=1_000)]
"""Voltage, V; low voltage ends at 1000 V (IEC 60449)."""
BusDrop = Annotated[float, QuantityKind("voltage", above=0, most=3)]
"""Fall of voltage along an instrument bus, V: from 12 V nominal to the 9 V that a device must still work at."""
Watt = Annotated[float, QuantityKind("power", above=0, most=200_000)]
"""Power, W; a load of no power is no load."""
RestWatt = Annotated[float, QuantityKind("power", least=0, most=200_000)]
"""Power of something that may be at rest, W."""
Ohm = Annotated[float, QuantityKind("resistance", above=0, most=10_000)]
Kg = Annotated[float, QuantityKind("mass", above=0, most=500)]
Celsius = Annotated[float, QuantityKind("temperature", least=-60, most=250)]
"""Temperature of air, a wireway or a material, °C."""
ConductorCelsius = Annotated[float, QuantityKind("temperature", least=20, most=250)]
"""Temperature of a conductor at work, °C; below 20 °C, where IEC 60228 gives resistances, drops come out small."""
InsulationCelsius = Annotated[float, QuantityKind("temperature", least=60, most=250)]
"""Temperature class of an insulation, °C; no cable for power has less than 60 °C (ISO 13297)."""
AmpHour = Annotated[float, QuantityKind("charge", above=0, most=100_000)]
WattHour = Annotated[float, QuantityKind("energy", least=0, most=1_000_000)]
Hours = Annotated[float, QuantityKind("time", least=0, most=1_000)]
Degrees = Annotated[float, QuantityKind("angle", bare=True, least=-360, most=360)]
Bends = Annotated[float, QuantityKind("angle", bare=True, least=0, most=3_600)]
"""Sum of all bends of a wireway, degrees."""
MegaHertz = Annotated[float, QuantityKind("frequency", above=0, most=10_000)]
Attenuation = Annotated[float, QuantityKind("attenuation", above=0, most=1_000)]
"""Loss of a cable, dB per 100 m; every cable has some."""
Decibel = Annotated[float, QuantityKind("attenuation", least=0, most=10)]
"""Loss of a lead or a connection, dB; of 10 dB a tenth of the power is left."""
Ratio = Annotated[float, QuantityKind("ratio", least=0, most=1)]
"""A share, written with %: ``50 %`` is 0.5 inside."""
Share = Annotated[float, QuantityKind("ratio", least=0.01, most=1)]
"""A share that can't be nothing: an efficiency, a part that flows together."""
DropLimit = Annotated[float, QuantityKind("ratio", above=0, most=0.1)]
"""Allowed fall of voltage; no practice lets a circuit lose more than 10 % (ISO 13297, ABYC E-11)."""
AreaMm2 = Annotated[float, QuantityKind("area", above=0, most=100_000_000)]
Times = Annotated[float, Number(least=1, most=100)]
"""How many times a rating or a diameter."""
Weight = Annotated[float, Number(least=0, most=1_000_000)]
"""Weight of a wish against others."""
