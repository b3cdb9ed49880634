"""Findings as a person at a terminal reads them."""

from __future__ import annotations

from layout.cli.telling import LISTED, MANY, told
from layout.findings import Finding, Place


def lost(count: int, rule: str = "wire 2", *, what: str = "no length") -> list[Finding]:
    """Return findings that say the same of several runs."""
    return [
        Finding(rule=rule, message=f"run {n:02d}: {what}", at=Place("a.yaml", n, 1), remedy="place it first")
        for n in range(1, count + 1)
    ]


def test_few_are_told_one_by_one_and_counted() -> None:
    """Each finding has its lines, and the last line counts them by severity."""
    lines = told([*lost(MANY - 1), Finding(rule="fit 6", message="the clock struck")])
    assert sum("stop   wire 2" in line for line in lines) == MANY - 1
    assert lines[-1] == f"{MANY - 1} stop, 1 note"


def test_the_same_of_several_things_is_told_once_with_its_list() -> None:
    """The sentence stands once; each other thing stands in the list with its line; another remedy stands apart."""
    odd = Finding(rule="wire 2", message="run 99: no length", remedy="say where it ends")
    lines = told([*lost(4), odd])
    assert sum("no length" in line for line in lines) == 2
    assert "       the same of 3 more: run 02 (a.yaml:2); run 03 (a.yaml:3); run 04 (a.yaml:4)" in lines
    assert lines[-1] == "5 stop"


def test_a_value_of_its_own_stands_in_the_list() -> None:
    """Where the sentences differ the list has each whole, so that no value is lost."""
    findings = [
        Finding(rule="wire 2", message=f"run {n}: {10 * n} mm too long", remedy="place it first") for n in (1, 2, 3)
    ]
    assert "       the same of 2 more: run 2: 20 mm too long; run 3: 30 mm too long" in told(findings)


def test_a_long_list_is_counted() -> None:
    """Beyond so many names the rest is a number, and the line says where all of them are."""
    (listed,) = (line for line in told(lost(40)) if "the same of 39 more" in line)
    assert listed.count("(a.yaml:") == LISTED
    assert listed.endswith(f"; and {39 - LISTED} more: --json lists all")


def test_faults_of_the_files_are_always_told_in_full() -> None:
    """What is wrong with a file is told line by line, however much it is."""
    assert sum("stop   file 30" in line for line in told(lost(40, "file 30"))) == 40


def test_nothing_found_says_nothing() -> None:
    """Without findings there are no lines, and one alone is not counted."""
    assert told([]) == []
    assert len(told([Finding(rule="fit 6", message="the clock struck")])) == 1
