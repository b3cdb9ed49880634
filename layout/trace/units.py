"""Which unit a drawing is in, by its own word and by a dimension that is known."""

from __future__ import annotations

from layout.trace.result import TraceError

UNITS_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8, "pt": 25.4 / 72, "px": 25.4 / 96}
"""Units that drawings are made in; a pixel is that of CSS."""
CLOSE = 0.004
"""A known dimension agrees when it is met within this share."""


def unit_factor(
    size: tuple[float, float], known_mm: tuple[float | None, float | None], mm_per_unit: float | None
) -> float:
    """Return millimetres per unit of a drawing.

    Parameters
    ----------
    size
        Width and height of its largest shape, in its own units.
    known_mm
        The same as known, where it is.
    mm_per_unit
        By the drawing's own word, if it says.

    Raises
    ------
    TraceError
        When nothing tells the unit, or no unit gives the known dimension.
    """
    pairs = [(known, own) for known, own in zip(known_mm, size, strict=True) if known is not None]
    if not pairs:
        if mm_per_unit is None:
            raise TraceError("the drawing does not say its unit", "give a known dimension: --across 460")
        return mm_per_unit
    tried = ([mm_per_unit] if mm_per_unit else []) + list(UNITS_MM.values())
    for factor in tried:
        if all(abs(own * factor - known) <= CLOSE * known for known, own in pairs):
            return factor
    told = " x ".join(f"{own * (mm_per_unit or 1.0):.4g}" for own in size)
    wanted = ", ".join(f"{known:g}" for known, _ in pairs)
    raise TraceError(
        f"the largest shape measures {told} mm, not {wanted} mm, and no other unit makes it so",
        "name the right layer with --layer, or check the dimension",
    )
