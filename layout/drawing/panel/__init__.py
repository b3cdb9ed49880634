"""Drawings of one panel: holes, views from both sides, sections."""
