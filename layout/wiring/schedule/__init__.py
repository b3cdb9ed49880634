"""The schedule: runs, numbers, positions, fittings and cut lengths."""
