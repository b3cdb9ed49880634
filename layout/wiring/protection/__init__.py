"""Protective devices: which stands where, and the short-circuit current it meets."""
