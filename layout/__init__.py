"""spile: plans an instrument and breaker panel, cuts it and wires it.

The flow as calls, each of which takes and gives frozen values and can be made alone:

>>> import spile
>>> reading = spile.read("workshop_wall.yaml")
>>> reading
<Reading of workshop_wall.yaml, 0 findings>
>>> placing = spile.place(reading.project, seed=1, effort=spile.Effort.QUICK)
>>> sorted(placing.arrangement.placed)
['dimmer', 'meter', 'radio', 'usb', 'ways']
>>> plan = spile.plan(reading.project, placing.arrangement, found=reading.findings)
>>> plan
<Plan of 'Workshop wall panel', 9 runs, ... findings>
>>> print(plan.findings[0])
watch cut 1: no tool at hand makes hole ...
>>> spile.draw(plan)["wall"][0]  # scenes in mm, by panel; a notebook shows them
<Scene 'Front view, 1:..., ... items>
>>> [file.name for file in spile.hand_over(plan, "out", only=["electrician", "schedule"]).files]
['electrician.pdf', 'schedule.csv']

``plan`` calls ``judge``, ``plan_networks``, ``wire`` and ``energy_balance``, which may be called alone. A ``Register``
keeps wire numbers and the chosen arrangement between two calls: ``load_register``, ``remember``, ``save_register``.
Importing this module is light: each name is loaded when it is first asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from layout.drawing.elements.scene import Scene
    from layout.drawing.writers.dxf import dxf_text
    from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
    from layout.drawing.writers.svg import svg_text
    from layout.energy.balance import EnergySheet, energy_balance
    from layout.findings.finding import Finding, Place, Severity
    from layout.flow import draw, hand_over, plan, remember
    from layout.handover.plan import Plan
    from layout.network.networks import Networks, plan_networks
    from layout.placing.alternatives import Alternatives, alternatives
    from layout.placing.by_components import Effort
    from layout.placing.explain.reason import Explanation, explain
    from layout.placing.fits import Fits, fits
    from layout.placing.judge.judge import judge
    from layout.placing.outcome import Placing
    from layout.placing.place import place
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.project.reading.read import read
    from layout.project.reading.reading import Reading
    from layout.project.register import Register, register_path
    from layout.project.register import load as load_register
    from layout.project.register import save as save_register
    from layout.wiring.result import Wiring
    from layout.wiring.wire import wire

__all__ = [
    "Alternatives",
    "Arrangement",
    "DocumentInfo",
    "Effort",
    "EnergySheet",
    "Explanation",
    "Finding",
    "Fits",
    "Networks",
    "Place",
    "Placing",
    "Plan",
    "Project",
    "Reading",
    "Register",
    "Scene",
    "Severity",
    "Wiring",
    "alternatives",
    "draw",
    "dxf_text",
    "energy_balance",
    "explain",
    "fits",
    "hand_over",
    "judge",
    "load_register",
    "pdf_bytes",
    "place",
    "plan",
    "plan_networks",
    "read",
    "register_path",
    "remember",
    "save_register",
    "svg_text",
    "wire",
]

_HOME = {
    "layout.drawing.writers.dxf": ("dxf_text",),
    "layout.drawing.writers.pdf": ("DocumentInfo", "pdf_bytes"),
    "layout.drawing.elements.scene": ("Scene",),
    "layout.drawing.writers.svg": ("svg_text",),
    "layout.findings.finding": ("Finding", "Place", "Severity"),
    "layout.flow": ("draw", "hand_over", "plan", "remember"),
    "layout.handover.plan": ("Plan",),
    "layout.placing.alternatives": ("Alternatives", "alternatives"),
    "layout.placing.explain.reason": ("Explanation", "explain"),
    "layout.placing.fits": ("Fits", "fits"),
    "layout.placing.judge.judge": ("judge",),
    "layout.placing.outcome": ("Placing",),
    "layout.placing.place": ("place",),
    "layout.placing.by_components": ("Effort",),
    "layout.project.model.arrangement": ("Arrangement",),
    "layout.project.model.project": ("Project",),
    "layout.project.reading.read": ("read",),
    "layout.project.reading.reading": ("Reading",),
    "layout.project.register": ("Register", "register_path"),
    "layout.energy.balance": ("EnergySheet", "energy_balance"),
    "layout.network.networks": ("Networks", "plan_networks"),
    "layout.wiring.result": ("Wiring",),
    "layout.wiring.wire": ("wire",),
}
"""Where each public name lives."""

_RENAMED = {
    "load_register": ("layout.project.register", "load"),
    "save_register": ("layout.project.register", "save"),
}
"""Those that have another name at home."""


def __getattr__(name: str) -> Any:
    """Load a public name when it is first asked for."""
    home, own = _RENAMED.get(name) or (next((home for home, names in _HOME.items() if name in names), ""), name)
    if not home:
        raise AttributeError(f"module 'layout' has no attribute '{name}'")
    value = getattr(import_module(home), own)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted(__all__)
