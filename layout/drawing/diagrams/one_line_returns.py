"""Returns of the one-line diagram: from everything that returns, to the bars, to the sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.diagrams.layered import Edge, LayeredNode, backward
from layout.drawing.diagrams.one_line_graph import owner_name, return_feeds
from layout.drawing.diagrams.one_line_parts import Body, assemble, bar_body
from layout.drawing.diagrams.one_line_picture import headed, one_line_picture, stub_in, stub_out
from layout.drawing.diagrams.symbols import SYMBOL_PEN
from layout.drawing.elements.scene import rect
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.drawing.diagrams.one_line_graph import Feed
    from layout.drawing.diagrams.one_line_parts import Part
    from layout.drawing.diagrams.one_line_picture import Chosen, OneLineBlock
    from layout.project.model.project import Project


def returns(project: Project, chosen: Chosen) -> OneLineBlock | None:
    """Return the picture of returns, earth and bonding: from everything that returns, to the bars, to the sources."""
    every = list(return_feeds(project))
    names = list(dict.fromkeys(end for feed in every for end in (feed.source, feed.target)))
    feeds, names, words = _forward_plain(project, every, names)
    made = one_line_picture(feeds, lambda order: [_return_part(project, chosen, name, words, order) for name in names])
    return headed("Returns, earth and bonding", made) if made else None


def _return_part(
    project: Project, chosen: Chosen, name: str, words: Mapping[str, Sequence[str]], feeds: Sequence[Feed]
) -> Part:
    ins = [feed for feed in feeds if feed.target == name]
    outs = [feed for feed in feeds if feed.source == name]
    bar = name in project.bus_bars
    body = bar_body(len(ins), len(outs)) if bar else _plain_body()
    return assemble(
        name, body, heading=owner_name(project, name), facts=words.get(name, ()),
        ins=[(feed, stub_in(feed, chosen), number if bar else 0) for number, feed in enumerate(ins)],
        outs=[(feed, stub_out(feed, chosen), number if bar else 0) for number, feed in enumerate(outs)],
    )  # fmt: skip


def _forward_plain(
    project: Project, feeds: list[Feed], names: list[str]
) -> tuple[list[Feed], list[str], dict[str, tuple[str, ...]]]:
    nodes = [LayeredNode(id=name, width_mm=1, height_mm=1) for name in names]
    loops = set(backward(nodes, [Edge(source=feed.source, target=feed.target) for feed in feeds]))
    words: dict[str, tuple[str, ...]] = {}
    for number in sorted(loops):
        feed = feeds[number]
        words[feed.source] = (*words.get(feed.source, ()), f"also to {owner_name(project, feed.target)}")
        words[feed.target] = (*words.get(feed.target, ()), f"also from {owner_name(project, feed.source)}")
    return [feed for number, feed in enumerate(feeds) if number not in loops], names, words


def _plain_body() -> Body:
    return Body(items=(rect(Box(0, -2.2, 6, 2.2), SYMBOL_PEN),), width_mm=6, up_mm=2.2, down_mm=2.2)
