"""Which cautions a project's papers must carry; the texts are data."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.project.model.project import Project

SHOP_FOOT = "Check each device against its maker's own template before cutting. Measure the 100 mm bars. Paper lies."
"""What stands at the foot of every page that one cuts by."""

FOOT = "Isolate all supplies first. AC work is for a licensed person. Local codes win. Lengths are not measured yet."
"""What stands at the foot of every page an electrician could act on."""


@cache
def _table() -> dict[str, list[dict[str, str]]]:
    from layout.shipped import shipped_yaml

    text = files("layout.handover.data").joinpath("cautions.yaml").read_text("utf-8")
    loaded: dict[str, list[dict[str, str]]] = shipped_yaml(text)
    return loaded


def boat_facts(project: Project) -> frozenset[str]:
    """Return the facts of a project that cautions hang on: ac, shore, lithium, lead, solar, petrol, metal, existing.

    A hull or fuel that is not stated brings the cautions for it as well: unknown is not safe.
    """
    supplies = project.supplies.values()
    batteries = [supply for supply in supplies if supply.kind == "battery"]
    found = {
        "ac": any(supply.is_ac for supply in supplies) or any(panel.ac for panel in project.breaker_panels.values()),
        "shore": any(supply.kind == "shore" for supply in supplies),
        "lithium": any(supply.chemistry in ("lithium", None) for supply in batteries),
        "lead": any(supply.chemistry in ("lead", None) for supply in batteries),
        "solar": any(supply.kind == "solar" for supply in supplies),
        "petrol": project.boat.fuel in ("petrol", None),
        "metal": project.boat.hull in ("metal", None),
        "existing": any(
            fate in ("keep", "reuse")
            for fate in (
                *(feeder.aboard for feeder in project.feeders.values()),
                *(circuit.aboard for circuit in project.circuits.values()),
            )
        ),
    }
    return frozenset(name for name, holds in found.items() if holds)


def sheet_cautions(project: Project) -> tuple[str, ...]:
    """Return the cautions that a diagram carries: isolation and codes, and those of AC where there is any."""
    rows = _table()["electrician"]
    holds = boat_facts(project)
    return (
        *(row["text"] for row in rows[:3]),
        *(row["text"] for row in rows if row.get("when") in ("ac", "shore") and row["when"] in holds),
    )


def cautions(project: Project, work: str) -> tuple[str, ...]:
    """Return the cautions for one kind of work, in order.

    Parameters
    ----------
    work
        electrician, testing or cutting.

    Raises
    ------
    KeyError
        There is no such kind of work.
    """
    holds = boat_facts(project)
    return tuple(row["text"] for row in _table()[work] if "when" not in row or row["when"] in holds)
