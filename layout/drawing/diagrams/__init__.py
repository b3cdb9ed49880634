"""Diagrams: one-line, networks, terminal blocks, legends, labels, conduits."""
