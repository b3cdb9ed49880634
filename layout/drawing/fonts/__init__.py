"""The shipped fonts, as package data."""
