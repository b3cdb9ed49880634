"""Generic devices taken from open standards, as data; each file names its source and how well it is known.

A standard gives the hole, seldom the depth, and a maker's own sheet wins over it: every entry is
``size_from: catalogue`` and is drawn DO NOT CUT until its sizes are confirmed.
"""

from __future__ import annotations

from layout.project.catalogue.entries import CatalogueEntry, entries, entry

__all__ = ["CatalogueEntry", "entries", "entry"]
