"""Drawings: one scene in millimetres on paper, and writers that only write it down."""
