"""Colours of a run's conductors: those that its cable has, and within them what the practice asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards.colours import Role, colour, colour_of_code, fault_of
from layout.standards.purposes import purpose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.project import Project
    from layout.wiring.circuits.segments import Lead, WireSegment
    from layout.wiring.declared import Declared
    from layout.wiring.sizing.sized_segment import SizedSegment

ROLES = {
    "+": Role.POSITIVE,
    "switched": Role.POSITIVE,
    "-": Role.NEGATIVE,
    "L": Role.LINE,
    "N": Role.NEUTRAL,
    "PE": Role.PROTECTIVE,
    "bond": Role.BONDING,
}
AS_CABLE = "as cable"
"""Stands for a colour that nothing asks for: it is whatever the cable that is bought has."""
ALIKE = {"blue": "light blue", "green and yellow": "green-yellow", "green/yellow": "green-yellow"}
"""Words that cables are sold by for a colour that has another name here."""


def role_of(pole: str, *, ac: bool) -> Role | None:
    """Return the role of a conductor of some pole, None where no colour is asked for it."""
    return Role.LINE if ac and pole == "switched" else ROLES.get(pole)


def run_colours(declared: Declared, plan: SizedSegment) -> tuple[str, ...]:
    """Return the colour of each conductor of a run, in the order of its leads.

    What the file or the practice asks is printed where the cable has it. Else a core is printed in a colour that the
    cable has: one that its role may have if there is one, and otherwise one that is found to be wrong.
    """
    asked = [_asked(declared, plan.segment, lead) for lead in plan.segment.leads]
    has = cable_colours(plan)
    if not has:
        return tuple(asked)
    leads = plan.segment.leads
    roles = [role_of(lead.pole, ac=plan.segment.ac) for lead in leads]
    given: list[str | None] = [
        None if role else has[at] if name == AS_CABLE and at < len(has) else name
        for at, (role, name) in enumerate(zip(roles, asked, strict=True))
    ]
    left = list(has)
    each_once = plan.kind is not None and plan.kind.cores > 1
    for taken in (_asked_for, _allowed, _any_left):
        for at, role in enumerate(roles):
            if role is None or given[at] is not None:
                continue
            name = taken(left, asked[at], role, ac_aboard=ac_aboard(declared.project))
            given[at] = name
            if name is not None and each_once:
                left.remove(name)
    return tuple(name or AS_CABLE for name in given)


def cable_colours(plan: SizedSegment) -> tuple[str, ...]:
    """Return the colours in which a run's cable is bought or lies aboard, in words; empty where any can be had."""
    return tuple(_in_words(name) for name in plan.kind.colours) if plan.kind is not None else ()


def ac_aboard(project: Project) -> bool:
    """Tell whether any AC exists aboard, planned or not."""
    return any(s.is_ac for s in project.supplies.values()) or any(p.ac for p in project.breaker_panels.values())


def _in_words(name: str) -> str:
    words = (colour_of_code(name) or name).strip().lower()
    return ALIKE.get(words, words)


def _asked(declared: Declared, segment: WireSegment, lead: Lead) -> str:
    """Return a conductor's colour as given on the live side, else by the practice; data cores as the cable has."""
    if lead.pole not in ROLES:
        link = declared.project.serial.get(segment.owner.partition(".")[2]) if segment.owner_kind == "serial" else None
        return (link and (link.colour_a if lead.pole == "A" else link.colour_b)) or AS_CABLE
    if lead.live and segment.colour:
        return segment.colour
    return colour(
        role_of(lead.pole, ac=segment.ac) or Role.POSITIVE,
        practice=declared.practice,
        voltage_v=segment.nominal_v or 0.0,
        ac_aboard=ac_aboard(declared.project),
        purpose=purpose(segment.purpose, declared.practice).colour_key,
    )


def _asked_for(left: Sequence[str], asked: str, role: Role, *, ac_aboard: bool) -> str | None:
    del role, ac_aboard
    return next((name for name in left if name == _in_words(asked)), None)


def _allowed(left: Sequence[str], asked: str, role: Role, *, ac_aboard: bool) -> str | None:
    del asked
    return next((name for name in left if fault_of(name, role, ac_aboard=ac_aboard) is None), None)


def _any_left(left: Sequence[str], asked: str, role: Role, *, ac_aboard: bool) -> str | None:
    del asked, role, ac_aboard
    return left[0] if left else None
