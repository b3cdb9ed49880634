"""Typical outer diameters (UL 1426 boat cable, class 5 wire) and copper weight (IEC 60028 density)."""

from __future__ import annotations

import math

import pytest

from layout.standards.cables import copper_kg, single_core_od
from layout.standards.conductors import Series, size_of, sizes
from layout.standards.tables import Basis


def test_boat_cable(reference):
    """Every typical boat-cable diameter, marked as from memory."""
    for row in reference("conduit")["boat_cable_od_typical"]["rows"]:
        found = single_core_od(size_of(gauge=row["awg"], series=Series.AWG))
        assert (found.od_mm, found.basis) == (row["od"], Basis.MEMORY)


@pytest.mark.parametrize("series", list(Series))
def test_insulation_has_a_wall(series):
    """A cable is thicker than the circle of its copper, and no thicker conductor has a thinner cable."""
    found = [(size.area_mm2, single_core_od(size).od_mm) for size in sizes(series)]
    assert [od for _, od in found] == sorted(od for _, od in found)
    for area, od in found:
        assert od > 2 * math.sqrt(area / math.pi)


def test_unknown_diameter_is_unknown():
    """Beyond the table nothing is made up."""
    assert single_core_od(size_of(area_mm2=400)) is None


def test_copper_weight():
    """100 m of 1 mm2 weigh 0.889 kg."""
    assert copper_kg(1.0, 100.0) == pytest.approx(0.889)


def test_copper_weight_goes_by_area_and_length():
    """50 m of 2 mm2 weigh what 100 m of 1 mm2 do, and twice what 25 m do (8.89 g/cm3)."""
    assert copper_kg(2.0, 50.0) == pytest.approx(0.889)
    assert copper_kg(2.0, 25.0) == pytest.approx(0.4445)
