"""Arrangements side by side, to compare and to choose."""
