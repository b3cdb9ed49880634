"""Parts laid out and joined by lines: what both halves of the one-line diagram are drawn by."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.drawing.diagrams.layered import Edge, lay_out
from layout.drawing.diagrams.one_line_graph import Feed
from layout.drawing.diagrams.one_line_parts import Stub
from layout.drawing.diagrams.symbols import SYMBOL_PEN
from layout.drawing.elements.scene import Group, Item, Text, line
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from layout.drawing.diagrams.layered import Layout
    from layout.drawing.diagrams.one_line_parts import Part

OneLineBlock = tuple[tuple[Item, ...], float, float]
"""Items that hang from (0, 0), their width and their height."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """What spile has decided beyond the model, to be shown on the diagram.

    Attributes
    ----------
    ways
        ``distribution/way`` -> circuit.
    ratings
        Amperes by dotted key: ``feeders.main``, ``ways.dc24/7``, ``circuits.horn``.
    notes
        Words by the same keys: cross-section on a feeder, wire number on a way.
    """

    ways: Mapping[str, str] = field(default_factory=dict)
    ratings: Mapping[str, float] = field(default_factory=dict)
    notes: Mapping[str, str] = field(default_factory=dict)


def headed(text: str, block: OneLineBlock) -> OneLineBlock:
    """Return a block under a heading."""
    items, wide, tall = block
    head: tuple[Item, ...] = (Text((0, -3.5), text, 3.5, bold=True), Group(items, dy_mm=-9))
    return head, max(wide, 80.0), tall + 9


def one_line_picture(feeds: Sequence[Feed], build: Callable[[Sequence[Feed]], Sequence[Part]]) -> OneLineBlock | None:
    """Lay parts out, then once more with the lines of each part sorted by where they go."""
    parts, laid = _laid(feeds, build)
    if not parts:
        return None

    def heights(feed: Feed) -> tuple[float, float]:
        return (laid.at[feed.target][1], laid.at[feed.source][1])

    feeds = sorted(feeds, key=heights)
    parts, laid = _laid(feeds, build)
    items: list[Item] = []
    for way in laid.lines:
        items += [line((a[0], -a[1]), (b[0], -b[1]), SYMBOL_PEN) for a, b in pairwise(way)]
    for part in parts:
        x, y = laid.at[part.node.id]
        items.append(Group(part.items, name=part.node.id, dx_mm=x, dy_mm=-y))
    return tuple(items), laid.width_mm, laid.height_mm


def _laid(feeds: Sequence[Feed], build: Callable[[Sequence[Feed]], Sequence[Part]]) -> tuple[Sequence[Part], Layout]:
    parts = build(feeds)
    by_name = {part.node.id: part for part in parts}
    edges = [
        Edge(source=f.source, target=f.target, out=by_name[f.source].outs[f.id], into=by_name[f.target].ins[f.id])
        for f in feeds
    ]
    return parts, lay_out([part.node for part in parts], edges)


def stub_out(feed: Feed, chosen: Chosen) -> Stub:
    """Return a feed's piece at its start."""
    return Stub(feed, feed.protection, chosen.ratings.get(feed.id), chosen.notes.get(feed.id, ""))


def stub_in(feed: Feed, chosen: Chosen) -> Stub:
    """Return a feed's piece at its end."""
    bare = Feed(id=feed.id, source=feed.source, out=feed.out, target=feed.target, into=feed.into)
    return Stub(bare, feed.protection_to, chosen.ratings.get(f"{feed.id}.to"), "")
