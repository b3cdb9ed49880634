"""The bench: one project open on a local page, moved about by hand and judged at once by the same rules."""
