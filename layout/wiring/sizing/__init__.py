"""Sizes: current, drop, ampacity, and the circle in which routes, bundles, sizes and fill settle."""
