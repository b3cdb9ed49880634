"""The page on trade rules names only findings that exist."""

from __future__ import annotations

import re
from pathlib import Path

from layout.findings import rules

PAGE = Path(__file__).parents[1] / "docs" / "trade_rules.md"


def test_every_code_on_the_page_is_a_rule() -> None:
    """A code that is no row of the table of rules would promise a check that nobody makes."""
    named = set(re.findall(r"\b(?:file|panel|fit|cut|wire|fuse|bus|day|paper) \d+\b", PAGE.read_text(encoding="utf-8")))
    assert named
    assert named <= set(rules())
