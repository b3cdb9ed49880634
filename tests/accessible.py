"""What axe-core, as ``npm ci`` in web/ brings it, finds wrong on a page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.running import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Page

AXE = ROOT / "web/node_modules/axe-core/axe.min.js"
needs_axe = pytest.mark.skipif(not AXE.exists(), reason="needs axe-core: cd web && npm ci")

ALL = "{resultTypes: ['violations'], rules: {'target-size': {enabled: true}, 'css-orientation-lock': {enabled: true}}}"
"""Every rule that axe-core runs of itself, and the two of WCAG 2.2 AA that it leaves out unless told."""
CONTRAST = "{resultTypes: ['violations'], runOnly: ['color-contrast']}"
"""The one rule whose answer another light changes."""


def faults(page: Page, options: str = ALL) -> list[str]:
    """Return what axe-core finds, by options of its own."""
    page.evaluate("source => { if (!window.axe) (0, eval)(source); }", AXE.read_text(encoding="utf-8"))
    told: dict[str, Any] = page.evaluate(f"() => axe.run(document, {options})")
    return [
        f"{rule['id']}: {node['html']} {node['failureSummary']}"
        for rule in told["violations"]
        for node in rule["nodes"]
    ]
