"""Why a project does not fit: the smallest conflict, and the single changes that would make it fit."""

from __future__ import annotations

from layout.placing.explain.reason import Explanation, explain

__all__ = ["Explanation", "explain"]
