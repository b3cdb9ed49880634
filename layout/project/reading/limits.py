"""What can't be although each figure by itself is in its range: one function a rule, listed in the table at the end."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.quantity import QuantityError, WireSize
from layout.standards.conductors import least_area_mm2

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layout.findings import Finding
    from layout.geometry.path import Path
    from layout.project.model.project import Project

_LARGEST_MM = (5_000.0, 3_000.0)
"""Longer and shorter side of the largest panel that is planned, mm."""


def panel_too_large(project: Project, drawn: Mapping[str, Path]) -> Iterator[Finding]:
    """Report an outline that no sheet has room for."""
    for panel in project.panels.values():
        path = drawn.get(panel.key.inner("outline"))
        if path is None:
            continue
        box = path.bounds()
        sides = sorted((box.width, box.height), reverse=True)
        if any(side > most + 1e-6 for side, most in zip(sides, _LARGEST_MM, strict=True)):
            most = " x ".join(f"{limit:g}" for limit in _LARGEST_MM)
            yield project.finding(
                "file 42",
                panel.key.inner("outline"),
                f"the outline of '{panel.id}' is {box.width:g} x {box.height:g} mm; the largest panel is {most} mm",
                remedy="check its units, or part it into several panels",
                measured=sides[0],
                limit=_LARGEST_MM[0],
                unit="mm",
            )


def cable_thinner_than_its_copper(project: Project, _drawn: Mapping[str, Path]) -> Iterator[Finding]:
    """Report an outer diameter that has no room for the conductors in it, insulation not counted."""
    for cable in project.cables.values():
        for text, diameter_mm in cable.sizes.items():
            least_mm = math.sqrt(4 * cable.cores * _area_mm2(text) / math.pi)
            if diameter_mm <= least_mm:
                many = f"{cable.cores} x {text}" if cable.cores > 1 else text
                yield project.finding(
                    "file 43",
                    cable.key.inner("sizes", text),
                    f"'{cable.id}' of {many} is {diameter_mm:g} mm thick, but its copper alone takes {least_mm:.2f} mm",
                    remedy="write the outer diameter of the whole cable from its paper",
                    measured=diameter_mm,
                    limit=least_mm,
                    unit="mm",
                )


def bare_shore_on_metal(project: Project, _drawn: Mapping[str, Path]) -> Iterator[Finding]:
    """Report a metal hull that is joined to the shore's earth by decision."""
    for supply in project.supplies.values():
        if supply.kind == "shore" and supply.isolation == "none" and project.boat.hull == "metal":
            yield project.finding(
                "file 44",
                supply.key.inner("isolation"),
                f"'{supply.id}' joins a metal hull to the shore's earth with nothing between: isolation: none",
                remedy="fit a galvanic isolator or an isolating transformer; stray current eats the hull",
            )


def apart_in_a_pipe(project: Project, _drawn: Mapping[str, Path]) -> Iterator[Finding]:
    """Report cables that are said to lie apart where they can't."""
    for wireway in project.wireways.values():
        if not wireway.bundled and wireway.kind in ("conduit", "trunk"):
            yield project.finding(
                "file 45",
                wireway.key.inner("bundled"),
                f"cables in the {wireway.kind} '{wireway.id}' touch, so they count as a bundle",
                remedy="delete bundled: false; on a tray or a free run, cables with space between them may say it",
            )


LIMITS = (panel_too_large, cable_thinner_than_its_copper, bare_shore_on_metal, apart_in_a_pipe)
"""Every rule, in the order they run."""


def _area_mm2(text: str) -> float:
    """Return the copper of a wire size, the thinner of the two that a gauge can have; 0 for what is no size."""
    try:
        return least_area_mm2(WireSize.read(text))
    except QuantityError:
        return 0.0  # told by ``crossref.cable_sizes``
