"""Measured lengths and drops against those worked out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.handover.books.test_sheets import run_tests_table
from layout.handover.files.csv_file import csv_bytes
from layout.handover.files.measured_values import TITLES, MeasuredRun, compare_measured, read_measured
from layout.languages import Language, in_language, spoken
from tests.handover.conftest import make_wiring

WIRING = make_wiring()
LIGHT = WIRING.run("circuits.light")


def _filled(wire: str, **values: str) -> str:
    """Return the test sheet's own CSV with blanks of one wire filled in."""
    import csv
    from io import StringIO

    rows = list(csv.DictReader(StringIO(csv_bytes(run_tests_table(WIRING)).decode(), newline="")))
    out = StringIO()
    writer = csv.DictWriter(out, rows[0])
    writer.writeheader()
    writer.writerows({**row, **values} if row["wire"] == wire else row for row in rows)
    return out.getvalue()


def test_the_filled_test_sheet_reads_back():
    """What the electrician writes into the CSV comes back with its line; blanks are not measured."""
    text = _filled("002a", measured_length_m="4.1", measured_a="2.2", measured_drop_v="0.14")
    found, faults = read_measured(text, name="tests.csv")
    assert faults == ()
    assert found == (MeasuredRun(wire="002a", length_m=4.1, current_a=2.2, drop_v=0.14, at=found[0].at),)
    assert (found[0].at.file, found[0].at.line) == ("tests.csv", 3)


def test_a_test_sheet_in_german_reads_back():
    """Its CSV has German headings; filled in, it reads as the English one, whatever is spoken then."""
    with spoken(Language("de")):
        sheet = csv_bytes(run_tests_table(WIRING)).decode()
        head = in_language(TITLES["measured_length_m"])
    at = sheet.splitlines()[0].split(",").index(head)
    rows = [line.split(",") for line in sheet.splitlines()]
    row = next(row for row in rows if row[0] == "002a")
    row[at] = "4.1"
    found, faults = read_measured("\n".join(map(",".join, rows)), name="tests.csv")
    assert (head, faults) == ("Länge (m gefunden)", ())
    assert found == (MeasuredRun(wire="002a", length_m=4.1, at=found[0].at),)


def test_headings_are_those_of_the_sheet():
    """What is looked for stands on the sheet under that key."""
    sheet = {column.key: column.heading for column in run_tests_table(WIRING).columns}
    assert TITLES.items() <= sheet.items()


def test_a_spreadsheet_s_semicolons_and_decimal_commas_are_read():
    """A file saved with semicolons has commas in its numbers."""
    text = "wire;measured_length_m;measured_a;measured_drop_v\n002a;4,10;;\n"
    assert read_measured(text)[0][0].length_m == 4.1


@pytest.mark.parametrize("written", ["4.1 m", "-1", "inf", "nan", "four"])
def test_what_is_no_number_is_said(written):
    """Paper 4: a value that can't be read is not taken for zero and not passed over."""
    _, faults = read_measured(f"wire,measured_length_m,measured_a,measured_drop_v\n002a,{written},,\n")
    assert [(fault.rule, fault.at.line) for fault in faults] == [("paper 4", 2)]
    assert f"'{written}'" in faults[0].message


def test_a_file_that_is_no_test_sheet_is_said():
    """Missing columns are named."""
    found, (fault,) = read_measured("a,b\n1,2\n")
    assert found == ()
    assert "no column wire" in fault.message


def test_what_agrees_gives_no_finding():
    """The worked-out drop, measured at another current, is in proportion and passes."""
    amps = LIGHT.current_a / 2
    measured = [MeasuredRun(wire="002a", length_m=4.0, drop_v=LIGHT.ohm * amps, current_a=amps)]
    assert compare_measured(WIRING, measured) == ()


@pytest.mark.parametrize(
    ("measured", "rule"),
    [
        (MeasuredRun(wire="999z", length_m=1.0), "paper 3"),
        (MeasuredRun(wire="002a", length_m=4.5), "paper 5"),
        (MeasuredRun(wire="002a", length_m=1.0), "paper 10"),
        (MeasuredRun(wire="002a", drop_v=0.1), "paper 8"),
        (MeasuredRun(wire="002a", drop_v=0.1, current_a=0.0), "paper 8"),
        (MeasuredRun(wire="002a", drop_v=1.0, current_a=LIGHT.current_a), "paper 6"),
        (MeasuredRun(wire="002a", drop_v=LIGHT.drop_v * 1.2, current_a=LIGHT.current_a), "paper 7"),
        (MeasuredRun(wire="002a", drop_v=LIGHT.drop_v * 0.5, current_a=LIGHT.current_a), "paper 9"),
    ],
    ids=["no such wire", "longer", "shorter", "no amperes", "zero amperes", "over the limit", "higher", "lower"],
)
def test_each_kind_of_difference_is_found(measured, rule):
    """Length and drop each way have their rule, with the wire's number in the message."""
    (finding,) = compare_measured(WIRING, [measured])
    assert finding.rule == rule
    assert measured.wire in finding.message


@given(st.floats(min_value=0.05, max_value=5.0), st.floats(min_value=0.1, max_value=10.0))
def test_the_verdict_does_not_depend_on_the_amperes(share, amps):
    """Twice the amperes with twice the drop is the same wire: the same rule, or none."""

    def rules(current: float) -> list[str]:
        drop = LIGHT.ohm * share * current
        return [
            one.rule for one in compare_measured(WIRING, [MeasuredRun(wire="002a", drop_v=drop, current_a=current)])
        ]

    assert rules(amps) == rules(2 * amps)


def test_a_conductor_s_own_number_finds_its_run():
    """A value may be given for a conductor instead of its run."""
    assert compare_measured(WIRING, [MeasuredRun(wire="002a+", length_m=9.0)])[0].rule == "paper 5"


def test_a_run_that_was_not_worked_out_passes_no_verdict():
    """Where nothing is known there is nothing to compare with."""
    assert compare_measured(WIRING, [MeasuredRun(wire="004a", length_m=4.0, drop_v=0.1, current_a=1.0)]) == ()
