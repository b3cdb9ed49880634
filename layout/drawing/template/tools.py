"""Which tool makes which hole, and what remains to be done by hand."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal

from layout.drawing.elements.numerals import mm, tool_size
from layout.light_dataclass import dataclass
from layout.project.model.panel import SizeFrom
from layout.project.model.shape import Tolerance

if TYPE_CHECKING:
    from layout.drawing.panel.holes import Hole
    from layout.project.model.workshop import Workshop

Tool = Literal["drill", "hole saw", "jigsaw", "chain drill", "none"]
_HAIR_MM = 1e-6

MOST_OPENED_MM = 0.5
MOST_OPENED = 0.05
"""A hole is opened out by hand by at most the larger of these (the second a share of its diameter)."""


@cache
def tool_tables() -> dict[str, Any]:
    """Return the table of tools as shipped."""
    from layout.shipped import shipped_yaml

    loaded: dict[str, Any] = shipped_yaml(files("layout.drawing.data").joinpath("tools.yaml").read_text("utf-8"))
    return loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class Owned:
    """The drills and saws at hand, small to large; ``assumed`` says which of them nobody stated."""

    drills: tuple[float, ...]
    saws: tuple[float, ...]
    jigsaw: bool = True
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The tool for one hole.

    Attributes
    ----------
    diameter_mm
        Of the drill or saw; None for a jigsaw.
    fits
        Whether it alone makes the hole within its tolerance.
    open_by_mm
        What is left to file or sand away, over the whole width, when it does not.
    """

    tool: Tool
    diameter_mm: float | None = None
    fits: bool = True
    open_by_mm: float = 0.0

    @property
    def text(self) -> str:
        """The choice as printed beside the hole."""
        if self.diameter_mm is None:
            return {"jigsaw": "jigsaw", "chain drill": "chain drill", "none": "no tool fits"}.get(self.tool, self.tool)
        words = f"{self.tool} {tool_size(self.diameter_mm)}"
        return f"{words}, open by {mm(self.open_by_mm)} mm" if self.open_by_mm else words


def owned(workshop: Workshop) -> Owned:
    """Return the tools at hand; the usual series where the project does not say."""
    usual = tool_tables()["usual"]
    assumed = tuple(name for name in ("drills", "saws") if getattr(workshop, name) is None)
    drills = usual["drills"] if workshop.drills is None else workshop.drills
    saws = usual["saws"] if workshop.saws is None else workshop.saws
    return Owned(
        drills=tuple(sorted(float(d) for d in drills)),
        saws=tuple(sorted(float(d) for d in saws)),
        jigsaw=workshop.jigsaw,
        assumed=assumed,
    )


def tolerance_of(hole: Hole) -> Tolerance:
    """Return the hole's tolerance: the device's own, else the general one, plus only.

    What stands beside a traced size says how unsure it is, not what may be cut off.
    """
    if hole.tolerance is not None and hole.kind != "fixing" and hole.size_from is not SizeFrom.TRACED:
        return hole.tolerance
    size = hole.diameter_mm or max(hole.path.bounds().width, hole.path.bounds().height)
    rows = tool_tables()["general_tolerance"]["rows"]
    plus = next((deviation for most, deviation in rows if size <= most), rows[-1][1])
    return Tolerance(plus=plus)


def choose_tool(hole: Hole, tools: Owned) -> Choice:
    """Return the tool for a hole: the one nearest to its nominal size within tolerance, else the next smaller."""
    if hole.diameter_mm is None:
        if hole.kind == "odd" or not tools.jigsaw:
            return Choice(tool="chain drill") if tools.drills else Choice(tool="none", fits=False)
        return Choice(tool="jigsaw")
    nominal, allowed = hole.diameter_mm, tolerance_of(hole)
    low, high = nominal - allowed.minus - _HAIR_MM, nominal + allowed.plus + _HAIR_MM
    at_hand: list[tuple[float, Tool]] = [(d, "drill") for d in tools.drills]
    at_hand += [(d, "hole saw") for d in tools.saws]
    within = [pair for pair in at_hand if low <= pair[0] <= high]
    if within:
        size, tool = min(within, key=lambda pair: (abs(pair[0] - nominal), -pair[0], pair[1]))
        return Choice(tool=tool, diameter_mm=size)
    smaller = [pair for pair in at_hand if pair[0] < low]
    if smaller:
        size, tool = max(smaller)
        if nominal - size <= max(MOST_OPENED_MM, MOST_OPENED * nominal):
            return Choice(tool=tool, diameter_mm=size, fits=False, open_by_mm=nominal - size)
    if tools.jigsaw and nominal >= 2 * tool_tables()["jigsaw"]["start"]:
        return Choice(tool="jigsaw", fits=False)
    return Choice(tool="none", fits=False)
