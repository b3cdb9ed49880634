"""One-line diagram of supplies, switches, bus bars, distribution panels and ways, from the model alone."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.diagrams.layered import Edge, LayeredNode, backward
from layout.drawing.diagrams.one_line_graph import Feed, live_graph, owner_name
from layout.drawing.diagrams.one_line_parts import (
    Body,
    assemble,
    bar_body,
    body_of,
    changeover_body,
    junction_body,
    protection_symbol,
    rating_text,
    rows_part,
)
from layout.drawing.diagrams.one_line_picture import Chosen, one_line_picture, stub_in, stub_out
from layout.drawing.diagrams.one_line_returns import returns
from layout.drawing.diagrams.symbols import symbol
from layout.drawing.elements.scene import Group, Item, Scene, Text
from layout.drawing.elements.scene_table import SceneColumn, SceneTable, table_items
from layout.project.model.keys import End

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.drawing.diagrams.one_line_graph import Graph
    from layout.drawing.diagrams.one_line_parts import Part
    from layout.drawing.diagrams.one_line_picture import OneLineBlock
    from layout.project.model.project import Project
    from layout.project.model.supplies import Supply

SUPPLY_SYMBOLS = {
    "battery": "battery",
    "alternator": "DC generator",
    "charger": "rectifier",
    "solar": "solar module",
    "converter": "converter",
    "inverter": "inverter",
    "shore": "connector",
    "generator": "generator",
}
_MARGIN_MM = 4.0
_GAP_MM = 14.0


def one_line(project: Project, chosen: Chosen | None = None) -> Scene:
    """Return the whole one-line diagram at its natural size; no lettering is lower than 2.5 mm.

    Parameters
    ----------
    chosen
        Ways, ratings and notes that wiring has settled; what is not known prints as a question mark.

    Raises
    ------
    ValueError
        A name has a character that the font lacks.
    """
    chosen = chosen or Chosen()
    graph = live_graph(project, assigned=chosen.ways)
    feeds, names, words = _with_junctions(project, graph)
    main = one_line_picture(
        feeds, lambda order: _live_parts(project, graph, chosen, names=names, words=words, feeds=order)
    )
    states = _states(project)
    beside = [states] if states else []
    if not main:
        main = ((Text((0, -4), "No supplies are declared.", 2.5),), 60.0, 8.0)
    wide = main[1] + (_GAP_MM + max(block[1] for block in beside) if beside else 0.0)
    tall = max(main[2], sum(block[2] + _GAP_MM for block in beside) - _GAP_MM)
    top = tall + _MARGIN_MM
    items: list[Item] = [Group(main[0], dx_mm=_MARGIN_MM, dy_mm=top)]
    for block in beside:
        items.append(Group(block[0], dx_mm=_MARGIN_MM + main[1] + _GAP_MM, dy_mm=top))
        top -= block[2] + _GAP_MM
    return Scene(
        width_mm=wide + 2 * _MARGIN_MM, height_mm=tall + 2 * _MARGIN_MM, items=tuple(items), title="One-line diagram"
    )


def one_line_pieces(project: Project, chosen: Chosen | None = None) -> tuple[Scene, ...]:
    """Return the diagram in pieces: the way from the supplies to the panels, each panel's ways, states."""
    chosen = chosen or Chosen()
    graph = live_graph(project, assigned=chosen.ways)
    feeds, names, words = _with_junctions(project, graph)
    bare = replace(graph, rows={}, direct=dict.fromkeys(graph.direct, ()))
    main = one_line_picture(
        feeds, lambda order: _live_parts(project, bare, chosen, names=names, words=words, feeds=order)
    )
    found = [] if main is None else [_scene(main, "Supplies to panels")]
    for name in names:
        rows = graph.direct[name.removesuffix("|direct")] if name.endswith("|direct") else graph.rows.get(name, ())
        if rows:
            owner = name.removesuffix("|direct")
            title = owner_name(project, owner) if owner == name else f"Fed straight from {owner_name(project, owner)}"
            part = rows_part(name, rows, heading=title, boxed=owner == name, ratings=chosen.ratings, notes=chosen.notes)
            found.append(_scene((part.items, part.node.width_mm, part.node.height_mm), title))
    if (states := _states(project)) is not None:
        found.append(_scene(states, "Switch states"))
    return tuple(found)


def returns_picture(project: Project, chosen: Chosen | None = None) -> Scene | None:
    """Return the way of returns, earth and bonding over the feeders; None where no feeder returns."""
    block = returns(project, chosen or Chosen())
    return None if block is None else _scene(block, "Returns, earth and bonding")


def _scene(block: OneLineBlock, title: str) -> Scene:
    items, wide, tall = block
    group = Group(tuple(items), dx_mm=_MARGIN_MM, dy_mm=tall + _MARGIN_MM)
    return Scene(width_mm=wide + 2 * _MARGIN_MM, height_mm=tall + 2 * _MARGIN_MM, items=(group,), title=title)


def _live_parts(
    project: Project, graph: Graph, chosen: Chosen, *, names: Sequence[str],
    words: Mapping[str, Sequence[str]], feeds: Sequence[Feed],
) -> list[Part]:  # fmt: skip
    parts: list[Part] = []
    for name in names:
        ins = [feed for feed in feeds if feed.target == name]
        outs = [feed for feed in feeds if feed.source == name]
        heading = owner_name(project, name)
        facts = list(words.get(name, ()))
        if name in project.breaker_panels:
            panel = project.breaker_panels[name]
            main = None
            if panel.main:
                p = panel.main
                text = rating_text(p.rating, residual=p.residual, poles=p.poles)
                main = (protection_symbol(p.kind, residual=p.residual), text)
            facts = [_join(f"{panel.voltage:g} V {'AC' if panel.ac else 'DC'}", _amount(panel.rating, "A")), *facts]
            feed = (ins[0], stub_in(ins[0], chosen)) if ins else None
            parts.append(
                rows_part(
                    name, graph.rows.get(name, ()), heading=heading, facts=facts, feed=feed, main=main,
                    ratings=chosen.ratings, notes=chosen.notes,
                )
            )  # fmt: skip
        elif name.endswith("|direct"):
            owner = name.removesuffix("|direct")
            parts.append(
                rows_part(
                    name, graph.direct[owner], heading=f"Fed straight from {owner_name(project, owner)}",
                    feed=(ins[0], stub_in(ins[0], chosen)), boxed=False, ratings=chosen.ratings, notes=chosen.notes,
                )
            )  # fmt: skip
        else:
            parts.append(_owner_part(project, name, chosen, ins=ins, outs=outs, facts=[*_facts(project, name), *facts]))
    return parts


def _owner_part(
    project: Project, name: str, chosen: Chosen, *, ins: Sequence[Feed], outs: Sequence[Feed], facts: Sequence[str]
) -> Part:
    joined_in = [(feed, stub_in(feed, chosen)) for feed in ins]
    joined_out = [(feed, stub_out(feed, chosen)) for feed in outs]
    heading = "" if "/" in name else owner_name(project, name)
    ports_in = [0] * len(ins)
    ports_out = [0] * len(outs)
    if name in project.bus_bars:
        body = bar_body(len(ins), len(outs))
        ports_in, ports_out = list(range(len(ins))), list(range(len(outs)))
    elif name in project.battery_switches:
        switch = project.battery_switches[name]
        if switch.kind == "changeover":
            body = changeover_body()
            ports_in = [1 if feed.into == "in2" else 0 for feed in ins]
        else:
            body = body_of(symbol("isolator" if switch.kind == "isolator" else "switch"))
    elif name in project.supplies:
        body = body_of(symbol(SUPPLY_SYMBOLS[project.supplies[name].kind]))
    elif "/" in name:
        body = junction_body()
    else:
        body = _load_body(project, name)
    return assemble(
        name, body, heading=heading, facts=facts,
        ins=[(feed, stub, port) for (feed, stub), port in zip(joined_in, ports_in, strict=True)],
        outs=[(feed, stub, port) for (feed, stub), port in zip(joined_out, ports_out, strict=True)],
    )  # fmt: skip


def _load_body(project: Project, name: str) -> Body:
    device = project.devices.get(name)
    return body_of(symbol("motor" if device and "motor" in device.classes else "load"))


def _with_junctions(project: Project, graph: Graph) -> tuple[list[Feed], list[str], dict[str, tuple[str, ...]]]:
    """Return the feeds with dots where one ends at another's start, the parts in order, and words beside parts.

    A feed that enters a battery's post, or the outgoing side of a switch, meets what leaves there in a dot.
    """
    feeds = list(graph.feeds)
    feeds += [
        Feed(id=f"direct.{owner}", source=owner, out="", target=f"{owner}|direct", into="in") for owner in graph.direct
    ]
    for owner in (*project.supplies, *project.battery_switches):
        post = _post(project, owner)
        entering = [feed for feed in feeds if feed.target == owner and feed.into in post]
        if entering:
            dot = f"{owner}/post"
            feeds = [
                _moved_feed(feed, source=dot) if feed.source == owner
                else _moved_feed(feed, target=dot) if feed in entering else feed
                for feed in feeds
            ]  # fmt: skip
            feeds.append(Feed(id=f"post.{owner}", source=owner, out="out", target=dot, into="in"))
    names = list(
        dict.fromkeys(
            [
                *project.supplies, *project.battery_switches, *project.bus_bars, *project.breaker_panels,
                *(end for feed in feeds for end in (feed.source, feed.target)),
            ]
        )
    )  # fmt: skip
    joined = {end for feed in feeds for end in (feed.source, feed.target)}
    names = [name for name in names if name in joined or _stands_alone(project, name)]
    return _forward(project, feeds, names, dict(graph.fed_from))


def _forward(
    project: Project, feeds: list[Feed], names: list[str], words: dict[str, tuple[str, ...]]
) -> tuple[list[Feed], list[str], dict[str, tuple[str, ...]]]:
    """Turn feeds that can't run forward into words at both ends."""
    nodes = [
        LayeredNode(id=n, width_mm=1, height_mm=1, column=-1 if n in project.breaker_panels else None) for n in names
    ]
    entered: set[str] = set()
    loops = set(backward(nodes, [Edge(source=feed.source, target=feed.target) for feed in feeds]))
    kept: list[Feed] = []
    for number, feed in enumerate(feeds):
        second = feed.target in project.breaker_panels and feed.target in entered
        if number in loops or second:
            start, end = End.read(feed.source).owner, End.read(feed.target).owner
            words[end] = (*words.get(end, ()), f"also from {owner_name(project, start)}")
            words[start] = (*words.get(start, ()), f"also to {owner_name(project, end)}")
        else:
            entered.add(feed.target)
            kept.append(feed)
    return kept, names, words


def _post(project: Project, owner: str) -> tuple[str, ...]:
    """Return the terminals at which current leaves a supply or a switch; an inverter's + is where it takes its own."""
    supply = project.supplies.get(owner)
    if supply is None:
        return ("out",)
    return (*supply.live_posts, "out", *(("",) if not supply.fed_from else ()))


def _moved_feed(feed: Feed, *, source: str | None = None, target: str | None = None) -> Feed:
    return replace(feed, source=source or feed.source, target=target or feed.target)


def _stands_alone(project: Project, name: str) -> bool:
    live = name in project.bus_bars and project.bus_bars[name].pole in ("+", "L")
    return live or name in project.supplies or name in project.battery_switches or name in project.breaker_panels


def _facts(project: Project, name: str) -> list[str]:
    if name in project.supplies:
        return _supply_facts(project.supplies[name])
    if name in project.battery_switches:
        switch = project.battery_switches[name]
        return [_join(f"{switch.voltage:g} V", _amount(switch.rating, "A"), _existing(switch.aboard))]
    if name in project.bus_bars:
        bar = project.bus_bars[name]
        return [_join(_amount(bar.voltage, "V"), _amount(bar.rating, "A"), _existing(bar.aboard))]
    return []


def _supply_facts(supply: Supply) -> list[str]:
    first = _join(
        f"{supply.voltage:g} V", "AC" if supply.is_ac else "", _amount(supply.current, "A"), _amount(supply.power, "W")
    )
    second = _join(_amount(supply.capacity, "Ah"), supply.chemistry or "", _existing(supply.aboard))
    third = _join(supply.isolation if supply.isolation != "none" else "", "")
    return [fact for fact in (first, second, third) if fact]


def _amount(value: float | None, unit: str) -> str:
    return "" if value is None else f"{value:g} {unit}"


def _existing(value: str | None) -> str:
    return f"aboard: {value}" if value else ""


def _join(*words: str | None) -> str:
    return ", ".join(word for word in words if word)


def _states(project: Project) -> OneLineBlock | None:
    if not project.switch_states:
        return None
    switches = list(project.battery_switches)
    rows = tuple(
        (state, *(str(positions.get(name, "–")) for name in switches))
        for state, positions in project.switch_states.items()
    )
    columns = (SceneColumn(title="State"), *(SceneColumn(title=owner_name(project, name)) for name in switches))
    table = SceneTable(columns=columns, rows=rows, heading="Switch states", height_mm=2.5)
    wide, tall = table.size_mm()
    return table_items(table, (0, 0)), wide, tall
