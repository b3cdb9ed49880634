"""Whether the libraries of the extra ``trace`` are there."""

from __future__ import annotations

from importlib.util import find_spec

LIBRARIES = {"cv2": "opencv-python-headless", "scipy": "scipy", "pypdfium2": "pypdfium2", "svgelements": "svgelements"}
"""Module by module, the package that brings it."""


def missing_libraries() -> tuple[str, ...]:
    """Return the packages that tracing needs and that are not installed."""
    return tuple(package for module, package in LIBRARIES.items() if find_spec(module) is None)
