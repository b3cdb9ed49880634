"""The exact model: integer variables, one choice of side per pair, and boxes that never overlap."""
