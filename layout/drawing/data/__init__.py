"""Tables of the drawings, as package data."""
