"""What the user works with: saws, drills, printer, paper; and how wires are numbered and slack is left."""

from __future__ import annotations

from typing import Literal

from layout.light_dataclass import dataclass
from layout.quantity import ConductorCelsius, Diameter, InsulationCelsius, Margin, Ratio, Slack

_Paper = Literal["A4", "A3", "Letter", "Legal", "Tabloid"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """Tools owned and the printer.

    Attributes
    ----------
    saws, drills
        Diameters; None means not said (the usual series is assumed and noted), an empty list means none.
    kerf
        Width that a machine's tool removes; None for hand work.
    diagrams
        Sheets of the one-line diagram: ``A3``, or ``A4`` to print at home, panel by panel.
    paper, printer_margin, overlap
        For the tiled template.
    cut_from
        Side the template is laid on.
    dimensions
        In which lengths stand on drawings of panels and their tables: mm, or inch, as fractions to 1/64 with the
        millimetres behind sizes and places of holes. Templates, tools and limits are in mm always.
    """

    saws: tuple[Diameter, ...] | None = None
    drills: tuple[Diameter, ...] | None = None
    jigsaw: bool = True
    kerf: Margin | None = None
    paper: _Paper = "A4"
    diagrams: Literal["A3", "A4"] = "A3"
    printer_margin: Margin = 6.0
    overlap: Margin = 10.0
    cut_from: Literal["front", "rear"] = "front"
    dimensions: Literal["mm", "inch"] = "mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class WiringRules:
    """How wires are sized, numbered and cut.

    Attributes
    ----------
    practice
        iso (ISO 13297 family) or abyc (E-11).
    wire_sizes
        What is bought and printed: metric (mm2), awg (ASTM B258 areas) or sae (the thinner areas sold by the same
        numbers). A size that is written is printed as it is written; an AWG number counts with the SAE area where the
        project does not buy awg, which is the safe side.
    insulation
        Temperature class where a cable kind says nothing.
    working_temperature
        Of the conductor, for drop.
    bundling
        ``all`` counts bundles at every voltage; ``from 50 V`` only there (noted on the schedule).
    number_pattern
        Wire number from circuit, segment and pole; fields {circuit:03d} {segment} {pole} {core}.
    slack_ends, slack_share, hinge_loop
        Added at each end, per length, and at the panel's hinge.
    """

    practice: Literal["iso", "abyc"] = "iso"
    wire_sizes: Literal["metric", "awg", "sae"] = "metric"
    insulation: InsulationCelsius = 90.0
    working_temperature: ConductorCelsius = 50.0
    bundling: Literal["all", "from 50 V"] = "all"
    conductor_class: Literal["class 5 tinned", "class 5 plain", "class 2 tinned", "class 2 plain"] = "class 5 tinned"
    number_pattern: str = "{circuit:03d}{segment}{pole}"
    slack_ends: Slack = 150.0
    slack_share: Ratio = 0.05
    hinge_loop: Slack = 250.0
