"""All wishes of a project as terms of the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.wishes import cable_lengths, look_of_the_whole, nearness, tidiness
from layout.placing.wishes.wanted import wanted
from layout.placing.wishes.wishing import Wishing, WishTerms

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.translation.translate import Translated
    from layout.project.model.project import Project

WISH_KINDS: dict[str, Callable[[Wishing], None]] = {
    "near point": nearness.near_point,
    "near edge": nearness.near_edge,
    "near corner": nearness.near_corner,
    "near device": nearness.near_device,
    "eye band": nearness.band,
    "reach": nearness.band,
    "aligned": look_of_the_whole.aligned,
    "even spacing": look_of_the_whole.even_spacing,
    "tidy": tidiness.tidy,
    "symmetry": look_of_the_whole.symmetry,
    "mass to hinge": look_of_the_whole.mass_to_hinge,
    "short cables": cable_lengths.short_cables,
}
"""By kind of wish. A large blank is no term but a thing that may be left out (``wanted.room_for_blanks``)."""


def terms(project: Project, built: Translated) -> WishTerms:
    """Return the engine's terms for all wishes of a project, in the order of the wishes."""
    made = [Wishing(project=project, built=built, wish=wish) for wish in wanted(project) if wish.weight]
    for wishing in made:
        if wishing.wish.wish in WISH_KINDS:
            WISH_KINDS[wishing.wish.wish](wishing)
    return WishTerms(
        terms=tuple(term for wishing in made for term in wishing.terms),
        findings=tuple(finding for wishing in made for finding in wishing.findings),
    )
