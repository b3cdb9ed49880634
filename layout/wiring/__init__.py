"""Wiring: routes, fill, sizes, protection, numbers, terminals and lengths of every run."""
