"""Sheets of paper: frame, title block, stamps, the page to measure a printer with."""
