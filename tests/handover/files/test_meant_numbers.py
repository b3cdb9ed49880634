"""A wire's number as people type it: without the letter of its segment and the sign of its pole."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from layout.handover.files.measured_values import meant_numbers

RUNS = {number: SimpleNamespace(key=number.rstrip("+-")) for number in ("022a+", "022a-", "0221+", "030a+", "030b+")}


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("022a+", ("022a+",)),  # as it stands on the label
        ("022", ("022a+",)),  # one run, though two wires
        ("022a", ("022a+",)),
        ("030", ("030a+", "030b+")),  # two runs: it has to be said which
        ("02", ()),  # the beginning of another number is no number
        ("", ()),
    ],
)
def test_a_beginning_stands_for_the_run(written: str, meant: tuple[str, ...]) -> None:
    """A number may be cut short before its letter, never among its digits."""
    assert meant_numbers(written, RUNS) == meant
