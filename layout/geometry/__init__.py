"""Paths of lines and true arcs, offsets, safe polygons and distances; knows no device.

Everything is in millimetres, x to the right, y up, angles in degrees counter-clockwise.
"""
