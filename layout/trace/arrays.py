"""Names for the arrays that pass between the modules."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
"""Numbers; points are rows of x and y."""
Picture = NDArray[Any]
"""Brightness by row and column, the first row at the top."""


def turned_left(vectors: Floats) -> Floats:
    """Return vectors (rows) turned a quarter counter-clockwise."""
    return np.stack([-vectors[..., 1], vectors[..., 0]], axis=-1)


def cross(first: Floats, second: Floats) -> Floats:
    """Return the signed area between vectors (rows)."""
    made: Floats = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    return made
