"""What every kind of wish needs to become terms: the items it concerns, and sums over their positions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.light_dataclass import dataclass, field
from layout.placing.engine.problem import SCALE, AbsTerm, AnyZeroTerm, HingeTerm
from layout.placing.translation.relation_rules import centre, sum_of
from layout.placing.wishes.wanted import COST_PER_STEP, wish_label

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.problem import Linear, Term
    from layout.placing.translation.frame import Frame
    from layout.placing.translation.translate import Translated
    from layout.placing.translation.turns import Option
    from layout.project.model.device import Device
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project
    from layout.project.model.wishes import Wish


@dataclass(frozen=True, slots=True, kw_only=True)
class WishTerms:
    """Terms of all wishes, each named after its wish, and notes about wishes that can't be counted."""

    terms: tuple[Term, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(slots=True, kw_only=True)
class Wishing:
    """One wish on its way to terms; what is added to it is collected in ``terms`` and ``findings``."""

    project: Project
    built: Translated
    wish: Wish
    terms: list[Term] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def name(self) -> str:
        """What the user calls it."""
        return wish_label(self.wish)

    @property
    def cost(self) -> int:
        """Cost of one step."""
        return round(self.wish.weight * COST_PER_STEP)

    def options(self, item: int) -> tuple[Option, ...]:
        """Return the ways an item may stand."""
        return self.built.options[item]

    def panel(self, option: Option) -> Panel:
        """Return the panel that the wish means for a way to stand."""
        return self.built.index.panels[self.frame(option).panel]

    def frame(self, option: Option) -> Frame:
        """Return the panel that the wish means for a way to stand: the one it names, else the way's own.

        So a device that may stand elsewhere too is drawn to the named panel.
        """
        named = self.wish.panel
        return self.built.index.frame(named) if named is not None and named in self.built.index.panels else option.frame

    def called(self, item: int) -> str:
        """Return an item's name."""
        return self.built.index.things[item].name

    def items(self, *, only: Callable[[Device], bool] = lambda _: True) -> list[int]:
        """Return the items that the wish names, or else all devices that it can concern."""
        index = self.built.index
        if self.wish.devices:
            return [index.number[name] for name in self.wish.devices if name in index.number]
        every = [k for k, thing in enumerate(index.things) if thing.device is not None and only(thing.device)]
        return [k for k in every if self.wish.panel is None or self.wish.panel in index.things[k].panels]

    def at_zero(self, expr: Linear, *, slack_mm: float = 0.0, cost: int | None = None) -> None:
        """Add: each step of the sum off 0 costs, past the slack."""
        weight = self.cost if cost is None else cost
        if weight and expr.items():
            slack = round(SCALE * slack_mm)
            self.terms.append(AbsTerm(name=self.name, weight=weight, expr=expr, slack=slack))

    def below_zero(self, expr: Linear, *, cost: int | None = None) -> None:
        """Add: each step of the sum above 0 costs."""
        weight = self.cost if cost is None else cost
        if weight and expr.items():
            self.terms.append(HingeTerm(name=self.name, weight=weight, expr=expr))

    def one_at_zero(self, exprs: tuple[Linear, ...], *, cost: int) -> None:
        """Add: it costs unless one of the sums is 0."""
        if cost:
            self.terms.append(AnyZeroTerm(name=self.name, weight=cost, exprs=tuple(dict.fromkeys(exprs))))

    def note(self, message: str, *, remedy: str | None = None, subjects: tuple[str, ...] = ()) -> None:
        """Add a note that the wish, or part of it, counts nothing."""
        keys = [k for k, wish in enumerate(self.project.wishes.wanted) if wish_label(wish) == self.name]
        at = self.project.place_of(f"wishes.wanted.{keys[0]}" if keys else "wishes")
        self.findings.append(Finding(rule="fit 4", message=message, at=at, remedy=remedy, subjects=subjects))

    def off_line(self, item: int, axis: int, line_mm: Callable[[Option], float]) -> list[float]:
        """Return how far the middle of a face lies past a line of the panel, about the position, mm, by option."""
        options = self.options(item)
        return [
            value - datum(self.frame(option), axis) - line_mm(option)
            for value, option in zip(centre(options, axis), options, strict=True)
        ]

    def to_line(self, item: int, axis: int, line_mm: Callable[[Option], float], *, slack_mm: float) -> None:
        """Add: the middle of a face is drawn to an upright (axis 0) or level line."""
        self.at_zero(sum_of([(item, axis, 1, self.off_line(item, axis, line_mm))]), slack_mm=slack_mm)


def datum(frame: Frame, axis: int) -> float:
    """Return where a panel starts along an axis of the engine's plane, mm."""
    return frame.x0 / SCALE if axis == 0 else 0.0


def wished_size(frame: Frame, axis: int) -> float:
    """Return the width or height of a panel, mm."""
    return (frame.width_mm, frame.height_mm)[axis]


def is_round(wishing: Wishing, item: int) -> bool:
    """Say whether a face is a circle: nobody sees its edges on a line, only its middle."""
    device = wishing.built.index.things[item].device
    return device is not None and device.face is not None and device.face.circle is not None
