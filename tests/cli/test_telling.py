"""Findings as a person at a terminal reads them."""

from __future__ import annotations

from layout.cli.telling import MANY, SHOWN_OF_MANY, told
from layout.findings import Finding, Place


def lost(count: int, rule: str = "wire 2") -> list[Finding]:
    """Return findings that differ in their message only."""
    return [
        Finding(rule=rule, message=f"run {n:02d} has no length", at=Place("a.yaml", n, 1), remedy="place it first")
        for n in range(1, count + 1)
    ]


def test_few_are_told_one_by_one_and_counted() -> None:
    """Each finding has its lines, and the last line counts them by severity."""
    lines = told([*lost(MANY - 1), Finding(rule="fit 6", message="the clock struck")])
    assert sum("stop   wire 2" in line for line in lines) == MANY - 1
    assert lines[-1] == f"{MANY - 1} stop, 1 note"


def test_many_that_are_alike_are_told_together() -> None:
    """Of many with the same rule and remedy the first are shown, the rest counted; nothing else is left out."""
    odd = Finding(rule="wire 2", message="run 99 has no length", remedy="say where it ends")
    lines = told([*lost(40), odd])
    assert sum("has no length" in line for line in lines) == SHOWN_OF_MANY + 1
    assert f"       and {40 - SHOWN_OF_MANY} more of wire 2 with the same to do; --json lists all" in lines
    assert any("run 99" in line for line in lines)
    assert lines[-1] == "41 stop"


def test_faults_of_the_files_are_always_told_in_full() -> None:
    """What is wrong with a file is told line by line, however much it is."""
    assert sum("stop   file 30" in line for line in told(lost(40, "file 30"))) == 40


def test_nothing_found_says_nothing() -> None:
    """Without findings there are no lines, and one alone is not counted."""
    assert told([]) == []
    assert len(told([Finding(rule="fit 6", message="the clock struck")])) == 1
