"""The page on the laws is what the program and its tests say today."""

from __future__ import annotations

import re

from layout.findings import rules
from layout.wiring.laws.all_laws import LAWS
from tests.laws_page import PAGE, codes_of, law_rows, modules, page


def test_the_page_is_up_to_date() -> None:
    """Written anew, it is the same."""
    assert PAGE.read_text(encoding="utf-8") == page(), "python -m tests.laws_page writes it anew"


def test_all_laws_that_are_asked_are_on_it() -> None:
    """Each law of the program's list has its row."""
    assert {law.__module__ for law in LAWS} <= {module.__name__ for module in modules()}


def test_each_law_has_its_codes_its_sources_and_its_tests() -> None:
    """No law stands without a finding in the table of rules, a source, and a test module that imports it."""
    for module, row in zip(modules(), law_rows(), strict=True):
        law, asks, codes, sources, tests = (part.strip() for part in row.strip("|").split(" | "))
        assert law
        assert asks.endswith(".")
        assert re.split(", ", codes) == codes_of(module)
        assert set(codes_of(module)) <= set(rules())
        assert sources
        assert tests, module.__name__
