"""Findings: the one way to report what is wrong with a project, and where."""

from __future__ import annotations

from layout.findings.finding import Finding, Place, Severity, has_stops, in_order
from layout.findings.render import as_json, as_lines, broken_lines
from layout.findings.table import AREAS, Retired, Rule, area, code_order, meanings, mends, retired, rule, rules

__all__ = [
    "AREAS",
    "Finding",
    "Place",
    "Retired",
    "Rule",
    "Severity",
    "area",
    "as_json",
    "as_lines",
    "broken_lines",
    "code_order",
    "has_stops",
    "in_order",
    "meanings",
    "mends",
    "retired",
    "rule",
    "rules",
]
