"""All wishes of a project as terms of the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.wishes import cables, form, near
from layout.placing.wishes.wanted import wanted
from layout.placing.wishes.wishing import Terms, Wishing

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.translation.problem import Built
    from layout.project.model.project import Project

KINDS: dict[str, Callable[[Wishing], None]] = {
    "near point": near.near_point,
    "near edge": near.near_edge,
    "near corner": near.near_corner,
    "near device": near.near_device,
    "eye band": near.band,
    "reach": near.band,
    "aligned": form.aligned,
    "even spacing": form.even_spacing,
    "symmetry": form.symmetry,
    "mass to hinge": form.mass_to_hinge,
    "short cables": cables.short_cables,
}
"""By kind of wish. A large blank is no term but a thing that may be left out (``wanted.room_for_blanks``)."""


def terms(project: Project, built: Built) -> Terms:
    """Return the engine's terms for all wishes of a project, in the order of the wishes."""
    made = [Wishing(project=project, built=built, wish=wish) for wish in wanted(project) if wish.weight]
    for wishing in made:
        if wishing.wish.wish in KINDS:
            KINDS[wishing.wish.wish](wishing)
    return Terms(
        terms=tuple(term for wishing in made for term in wishing.terms),
        findings=tuple(finding for wishing in made for finding in wishing.findings),
    )
