"""Alternatives side by side on the page: small panels to one scale, names, reasons, and what each wish costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.contact.contact_panels import Small, elsewhere, key_lines, panel_rows, panels_small
from layout.drawing.contact.contact_scores import scale_of, scores
from layout.drawing.elements.scene import Scene
from layout.drawing.writers.svg import svg_element
from layout.geometry.path import Box
from layout.handover.lists.table import Column, Table
from layout.handover.report.html_tables import html_table
from layout.handover.report.markup import Markup, element, joined_markup
from layout.placing.diversity import names_of
from layout.placing.tidiness_measure import tidiness_of, tidiness_words
from layout.placing.words import proof_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.handover.lists.table import Cell
    from layout.handover.report.subjects import Subjects
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

ROOM = Box(0.0, 0.0, 120.0, 150.0)
"""The most that the panels of one alternative take, in mm on paper."""

_HOW_TO_READ = (
    "Lower is better; the best of a row is in bold. Tinted faces stand elsewhere than in 1. Numbers are those by which"
    " spile choose takes one."
)


def alternative_cards(
    project: Project, proposals: Sequence[Arrangement], chosen: Arrangement | None, subjects: Subjects
) -> tuple[Markup, list[Scene]]:
    """Return the section's content and its scenes; nothing where there are no proposals.

    Parameters
    ----------
    proposals
        Numbered from 1 in the order given.
    chosen
        The project's arrangement; that of the proposals is marked.
    """
    if not proposals:
        return Markup(), []
    names = names_of(project, proposals)
    row = max(panel_rows(project, proposals), key=lambda one: one.scale(ROOM))
    scale = row.scale(ROOM)
    wide, tall = (max(side) for side in zip(*((b.x1, b.y1) for b in row.places(ROOM, scale)), strict=True))
    low = min(b.y0 for b in row.places(ROOM, scale))
    left = min(b.x0 for b in row.places(ROOM, scale))
    cards, scenes = [], []
    for number, (one, name) in enumerate(zip(proposals, names, strict=True), start=1):
        beside = proposals[0] if number > 1 else None
        room = Box(1.0, 1.0, wide - left + 1.0, tall - low + 1.0)
        items, short = panels_small(project, one, Small(row=row, room=room, scale=scale), beside=beside)
        scene = Scene(
            width_mm=room.x1 + 1.0, height_mm=room.y1 + 1.0, items=items, title=f"Alternative {number}: {name}"
        )
        scenes.append(scene)
        moved = elsewhere(project, one, beside) if beside is not None else ()
        said = [
            element("h3", f"{number}: {name}"),
            *([element("p", "This is how it stands now.", class_="now")] if _same(one, chosen) else []),
            element("div", Markup(svg_element(scene, prefix=f"a{number}-")), class_="paper"),
            *([element("p", f"By number: {', '.join(key_lines(project, short))}.")] if short else []),
            *([element("p", f"Elsewhere than in 1: {', '.join(moved)}.")] if moved else []),
            element("p", f"Value {one.value:.0f} weighted mm; {tidiness_words(tidiness_of(project, one))}."),
            element("p", f"Proven: {proof_words(one)}."),
        ]
        cards.append(element("article", *said, class_="card", id=f"alternative-{number}"))
    return joined_markup(
        [
            element("div", *cards, class_="cards"),
            html_table(_costs(project, proposals), subjects),
        ]
    ), scenes


def _costs(project: Project, proposals: Sequence[Arrangement]) -> Table:
    """Return the cost of each wish, a column for each alternative, the least of a row in bold."""
    shared = scale_of(proposals, [wish.name or wish.wish for wish in project.wishes.wanted])
    columns = [scores(one, shared.wishes) for one in proposals]
    made: list[dict[str, Cell]] = []
    for at, wish in enumerate((*shared.wishes, "all wishes")):
        costs = [column[at] if at < len(column) else one.value for column, one in zip(columns, proposals, strict=True)]
        least = min(costs) if min(costs) < max(costs) else None
        made.append(
            {"wish": wish, **{f"{n}": _cost(cost, best=cost == least) for n, cost in enumerate(costs, start=1)}}
        )
    heads = (Column(key=f"{n}", title=f"{n}", align="right") for n in range(1, len(proposals) + 1))
    return Table(
        name="costs", title="What each wish costs, weighted mm", columns=(Column(key="wish", title="Wish"), *heads),
        rows=tuple(made), notes=(_HOW_TO_READ,),
    )  # fmt: skip


def _cost(cost: float, *, best: bool) -> str:
    words = f"{cost:.0f}"
    return element("b", words) if best else words


def _same(one: Arrangement, chosen: Arrangement | None) -> bool:
    return chosen is not None and dict(one.placed) == dict(chosen.placed) and dict(one.rooms) == dict(chosen.rooms)
