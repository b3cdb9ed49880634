"""Placing: from a project to an arrangement of its devices."""
