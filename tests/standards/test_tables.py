"""Every table of the product says where it is from and how far it was seen."""

from __future__ import annotations

from importlib import resources

import pytest

from layout.standards.tables import Basis, all_tables, rows, source

MINE = ["ampacity", "cable_kinds", "colours", "conductors", "conduit", "protection", "terminals", "voltage_drop"]


def leaves(table):
    """Yield tables that hold values: those nested in a group count singly."""
    if "source" in table or "basis" in table:
        yield table
        return
    for inner in table.values():
        if isinstance(inner, dict):
            yield from leaves(inner)


@pytest.mark.parametrize("file", MINE)
def test_each_table_has_source_and_basis(file):
    """Source and basis stand at every table, and the basis is one of the three words or points to its column."""
    for name, group in all_tables(file).items():
        found = list(leaves(group))
        assert found, name
        for table in found:
            assert table.get("source") or table.get("text"), name
            basis = str(table.get("basis") or table.get("ac_basis") or "")
            assert any(word in basis for word in (*Basis, "see", "given")), name


def test_rows_are_complete():
    """Each row has a value for each column, in the order of the file."""
    found = rows("conductors", "iec_60228_class5_flexible")
    assert list(found[0]) == ["area_mm2", "plain", "tinned"]
    assert [row["area_mm2"] for row in found] == sorted(row["area_mm2"] for row in found)


def test_source_marks_memory():
    """A footnote says when a table is only from memory."""
    assert source("ampacity", "iso_bundling_factors").endswith("(from memory)")
    assert not source("ampacity", "cfr_33_183_425_table5").endswith("(from memory)")


def test_files_are_packaged():
    """All my tables are where the package finds them."""
    folder = resources.files("layout.standards").joinpath("data")
    names = {entry.name for entry in folder.iterdir()}
    assert {f"{file}.yaml" for file in MINE} <= names
