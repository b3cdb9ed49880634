"""Findings: the one way to report what is wrong with a project, and where."""

from __future__ import annotations

from layout.findings.finding import Finding, Place, Severity, has_errors, in_order
from layout.findings.render import as_json, as_lines
from layout.findings.table import Rule, rule, rules

__all__ = ["Finding", "Place", "Rule", "Severity", "as_json", "as_lines", "has_errors", "in_order", "rule", "rules"]
