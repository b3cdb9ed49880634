"""Quantities as people write them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.quantity import EXAMPLES, INSIDE, UNITS, QuantityError, QuantityKind, WireSize, parse

READ = [
    ("12 mm", "length", 12.0),
    ("12mm", "length", 12.0),
    ("1/2 in", "length", 12.7),
    ("3 1/8 in", "length", 79.375),
    ("3-1/8 in", "length", 79.375),
    ('2"', "length", 50.8),
    ("1 ft", "length", 304.8),
    ("-4.5 cm", "length", -45.0),
    (".5 m", "length", 500.0),
    ("2.5 mm2", "area", 2.5),
    ("2.5 mm²", "area", 2.5),
    ("1.5 A", "current", 1.5),
    ("30 mA", "current", 0.03),
    ("10 kA", "current", 10_000.0),
    ("24 V", "voltage", 24.0),
    ("35 W", "power", 35.0),
    ("2 kW", "power", 2000.0),
    ("6 mohm", "resistance", 0.006),
    ("6 mΩ", "resistance", 0.006),
    ("6 m\u2126", "resistance", 0.006),
    ("1.83 ohm/km", "line resistance", 0.00183),
    ("3 lb", "mass", 1.36077711),
    ("60 °C", "temperature", 60.0),
    ("220 Ah", "charge", 220.0),
    ("1.2 kWh", "energy", 1200.0),
    ("90 min", "time", 1.5),
    ("90 deg", "angle", 90.0),
    ("156.8 MHz", "frequency", 156.8),
    ("3 dB", "attenuation", 3.0),
    ("50 %", "ratio", 0.5),
]
"""Text, kind, value inside; inch, foot and pound as NIST SP 811 has them (exact)."""


@pytest.mark.parametrize(("text", "kind", "value"), READ)
def test_reads_what_people_write(text: str, kind: str, value: float) -> None:
    """A quantity in a usual spelling comes out in the unit used inside."""
    assert parse(text, kind) == pytest.approx(value, rel=1e-12)


REFUSED = [
    ("12", "current", "'12' has no unit; write a current like 1.5 A"),
    ("12", "length", "'12' has no unit; write a length like 12 mm or 1/2 in"),
    ("12 V", "current", "'V' is a unit of voltage; expected a current like 1.5 A"),
    ("3 mm", "area", "'mm' is a unit of length; expected an area like 2.5 mm2"),
    ("12 MM", "length", "'MM' is no unit of length; did you mean mm?"),
    ("12 furlong", "time", "'furlong' is no unit of time; write one of h, min, s"),
    ("9,5 mm", "length", "expected a length like 12 mm or 1/2 in, found '9,5 mm'; write a decimal point: 9.5 mm"),
    ("1/0 in", "length", "'1/0' is no number"),
    ("", "length", "expected a length like 12 mm or 1/2 in, found ''"),
    ("mm", "length", "expected a length like 12 mm or 1/2 in, found 'mm'"),
    ("12:30", "time", "expected a time like 4 h, found '12:30'"),
    (True, "length", "expected a length like 12 mm or 1/2 in, found 'true'"),
    (None, "power", "expected a power like 35 W, found nothing"),
    ([1], "power", "expected a power like 35 W, found a list"),
    ({}, "power", "expected a power like 35 W, found a table"),
]


@pytest.mark.parametrize(("text", "kind", "message"), REFUSED)
def test_refuses_with_what_to_write(text: object, kind: str, message: str) -> None:
    """What can't be read is refused with the value found and what to write instead."""
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)
    assert str(caught.value) == message


def test_bare_number_only_where_allowed() -> None:
    """A number without unit counts only where it can't be misread, and then in the unit used inside."""
    assert parse(12, "length", bare=True) == 12.0
    assert parse("1/2", "length", bare=True) == 0.5
    with pytest.raises(QuantityError):
        parse(12, "length")


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan, "9" * 400])
def test_refuses_what_is_not_finite(value: object) -> None:
    """Infinity, not-a-number and overflowing digits are no quantities, bare or not."""
    with pytest.raises(QuantityError):
        parse(value, "length", bare=True)


@given(st.floats(min_value=-1e9, max_value=1e9), st.sampled_from([(k, u) for k, units in UNITS.items() for u in units]))
def test_unit_factor_holds(value: float, pair: tuple[str, str]) -> None:
    """A value with any unit reads as the value times the unit's factor."""
    kind, unit = pair
    text = f"{value:.6f} {unit}"
    assert parse(text, kind) == pytest.approx(float(f"{value:.6f}") * UNITS[kind][unit], rel=1e-12, abs=1e-12)


@given(st.text(max_size=20), st.sampled_from(sorted(UNITS)))
def test_any_text_reads_or_is_refused(text: str, kind: str) -> None:
    """Whatever stands there, the outcome is a finite number or a QuantityError."""
    try:
        value = parse(text, kind, bare=True)
    except QuantityError:
        return
    assert math.isfinite(value)


def test_tables_of_units_belong_together() -> None:
    """Each kind has an example that reads, and a unit used inside (a share has none)."""
    assert set(EXAMPLES) == set(UNITS)
    assert set(INSIDE) == set(UNITS) - {"ratio"}
    for kind, example in EXAMPLES.items():
        assert parse(example.split(" or ")[0], kind) is not None
    assert all(UNITS[kind][unit] == 1.0 for kind, unit in INSIDE.items())


@pytest.mark.parametrize(
    ("kind", "value", "message"),
    [
        (QuantityKind("length", bare=True, above=0), 0, "expected a length of more than 0 mm, found '0'"),
        (QuantityKind("current", least=0), "-1 A", "expected a current of at least 0 A, found '-1 A'"),
        (QuantityKind("ratio", least=0, most=1), "130 %", "expected a ratio of at most 100 %, found '130 %'"),
    ],
)
def test_bounds_are_named(kind: QuantityKind, value: object, message: str) -> None:
    """A value outside its bounds is refused with the bound and the unit it is in."""
    with pytest.raises(QuantityError) as caught:
        kind.read(value)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("2.5 mm2", WireSize(area_mm2=2.5)),
        ("14 AWG", WireSize(awg="14")),
        ("AWG 14", WireSize(awg="14")),
        ("2/0 awg", WireSize(awg="2/0")),
        ("14 SAE", WireSize(sae="14")),
        ("2/0sae", WireSize(sae="2/0")),
    ],
)
def test_wire_sizes(text: str, size: WireSize) -> None:
    """A wire size is an area or a gauge number, and says itself as it was read."""
    assert WireSize.read(text) == size
    assert WireSize.read(str(size)) == size


@pytest.mark.parametrize(
    "text",
    ["14", "3 mm", "AWG", "5/0 AWG", "0 mm2", "-1 mm2", 14, None, "2.5 AWG", "3 SAE", "20 SAE", "SAE 14", "14 AWG SAE"],
)
def test_refuses_other_wire_sizes(text: object) -> None:
    """A bare number, a length or an unknown gauge is no wire size."""
    with pytest.raises(QuantityError):
        WireSize.read(text)


@pytest.mark.parametrize("signs", [("12 mm", " ", "x"), ("12", " ", "mm"), ("1,", "1", " y z")])
def test_endless_text_is_no_quantity(signs: tuple[str, str, str]) -> None:
    """Text far longer than a quantity is refused without being searched, and shown by its beginning only."""
    with pytest.raises(QuantityError) as caught:
        parse(signs[0] + 60_000 * signs[1] + signs[2], "length")
    assert len(str(caught.value)) < 120


def test_blanks_around_a_quantity_do_not_count() -> None:
    """However many blanks stand around it, a quantity is read."""
    assert parse(" " * 60_000 + "12 mm" + " " * 60_000, "length") == 12.0
    assert WireSize.read(" " * 60_000 + "14 AWG" + " " * 60_000) == WireSize(awg="14")
