"""The boxes of the one-line diagram: each with its picture, and where lines join it.

A part's picture hangs from its upper left corner: x right, y up, so everything lies at negative y.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.diagrams.layered import LayeredNode
from layout.drawing.diagrams.symbols import SYMBOL_PEN, THICK, Symbol, symbol
from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import width_mm
from layout.drawing.elements.scene import FillPath, Group, Item, Text, line, rect
from layout.geometry.path import Box
from layout.geometry.shapes import circle
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.drawing.diagrams.one_line_graph import Feed, OneLineRow
    from layout.project.model.supplies import Protection

_SMALL, TEXT, _HEAD = 2.5, 2.5, 3.0
FACT_MM = 4.0
"""Distance of two lines of facts."""
PORT_MM = 11.0
"""Distance of lines that join one side of a part."""
_ROW_MM = 6.6
_NAME_MM = 6.0
"""Room for the name above a part's picture."""

_PROTECTION = {"breaker": "breaker", "miniature breaker": "breaker"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A box with its picture; ``ins`` and ``outs`` say which port a feed joins, by the feed's id."""

    node: LayeredNode
    items: tuple[Item, ...]
    ins: Mapping[str, int]
    outs: Mapping[str, int]


def protection_symbol(kind: str, *, residual: float | None = None) -> str:
    """Return the name of a protective device's symbol."""
    if residual is not None:
        return "residual-current breaker"
    return _PROTECTION.get(kind, "fuse")


def rating_text(rating: float | None, *, residual: float | None = None, poles: int = 1) -> str:
    """Return what stands at a protective device: its rating (``? A`` where not known), poles and residual current."""
    text = "? A" if rating is None else f"{rating:g} A"
    if poles > 1:
        text += f", {poles}-pole"
    return text if residual is None else f"{text}, {residual * 1000:g} mA"


class Stub:
    """The piece of a feed beside a part: its protective device with rating, its size, its count of conductors."""

    def __init__(self, feed: Feed, protection: Protection | None, rating: float | None, note: str) -> None:
        self._symbol: Symbol | None = None
        self._above = ""
        if protection is not None:
            self._symbol = symbol(protection_symbol(protection.kind, residual=protection.residual))
            self._above = rating_text(protection.rating or rating, residual=protection.residual, poles=protection.poles)
        self._below = " ".join(filter(None, (note or feed.size, "cranking" if feed.cranking else "")))
        self._strokes = feed.poles if feed.poles > 1 else 0
        wide = max(width_mm(self._above, _SMALL), width_mm(self._below, _SMALL)) + (7 if self._strokes else 3)
        least = (self._symbol.width_mm if self._symbol else 4.0) + (6.0 if self._strokes else 2.0)
        self.width_mm = max(wide, least)
        shape_up, shape_down = (self._symbol.up_mm, self._symbol.down_mm) if self._symbol else (0.5, 0.5)
        self.up_mm = shape_up + (0.8 + 1.1 * _SMALL if self._above else 0)
        self.down_mm = shape_down + (0.9 + 1.4 * _SMALL if self._below else 0)

    def items(self, x_mm: float, y_mm: float, room_mm: float) -> list[Item]:
        """Return the stub from ``x_mm`` over ``room_mm``, its device at the left."""
        found: list[Item] = []
        start = x_mm + 1
        if self._symbol is None:
            found.append(line((x_mm, y_mm), (x_mm + room_mm, y_mm), SYMBOL_PEN))
        else:
            found.append(line((x_mm, y_mm), (start, y_mm), SYMBOL_PEN))
            found.append(self._symbol.at(start, y_mm))
            found.append(line((start + self._symbol.width_mm, y_mm), (x_mm + room_mm, y_mm), SYMBOL_PEN))
        if self._above:
            lift = (self._symbol.up_mm if self._symbol else 0) + 0.8
            colour = colours.ALARM if "?" in self._above else colours.INK
            found.append(Text((start + 0.5, y_mm + lift), self._above, _SMALL, colour=colour))
        if self._below:
            drop = (self._symbol.down_mm if self._symbol else 0) + 0.9
            found.append(Text((start + 0.5, y_mm - drop), self._below, _SMALL, level="top", colour=colours.GREY))
        if self._strokes:
            found += _strokes(x_mm + room_mm - 3, y_mm, self._strokes)
        return found


def _strokes(x_mm: float, y_mm: float, count: int) -> list[Item]:
    """Return the sign for several conductors in one line: a slanted stroke and their count."""
    return [
        line((x_mm - 0.8, y_mm - 1.4), (x_mm + 0.8, y_mm + 1.4), pens.RULE_PEN),
        Text((x_mm + 0.9, y_mm + 0.9), str(count), _SMALL),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """What a part is made of before its stubs: picture from (0, 0) on the middle line, and the joins' heights."""

    items: tuple[Item, ...]
    width_mm: float
    up_mm: float
    down_mm: float
    in_heights: tuple[float, ...] = (0.0,)
    out_heights: tuple[float, ...] = (0.0,)


def body_of(shape: Symbol) -> Body:
    """Return a symbol as a body."""
    return Body(items=(shape.at(0, 0),), width_mm=shape.width_mm, up_mm=shape.up_mm, down_mm=shape.down_mm)


def changeover_body() -> Body:
    """Return a change-over switch, whose two inputs stand above and below."""
    shape = symbol("change-over switch")
    return Body(
        items=(shape.at(0, 0),), width_mm=shape.width_mm, up_mm=shape.up_mm, down_mm=shape.down_mm,
        in_heights=(4.0, -4.0),
    )  # fmt: skip


def bar_body(ins: int, outs: int) -> Body:
    """Return an upright bus bar that is long enough for its lines."""
    count = max(ins, outs, 1)
    tall = count * PORT_MM
    heights = [tall / 2 - PORT_MM * (index + 0.5) for index in range(count)]
    return Body(
        items=(line((1, tall / 2), (1, -tall / 2), THICK),),
        width_mm=2,
        up_mm=tall / 2,
        down_mm=tall / 2,
        in_heights=_spread(heights, ins),
        out_heights=_spread(heights, outs),
    )


def _spread(heights: Sequence[float], count: int) -> tuple[float, ...]:
    first = (len(heights) - count) // 2
    return tuple(heights[first : first + count])


def junction_body() -> Body:
    """Return the dot where lines join."""
    return Body(
        items=(FillPath(circle(1.4, at=(1, 0))), line((0, 0), (2, 0), SYMBOL_PEN)), width_mm=2, up_mm=1, down_mm=1
    )


def assemble(
    name: str,
    body: Body,
    *,
    heading: str = "",
    facts: Sequence[str] = (),
    ins: Sequence[tuple[Feed, Stub, int]] = (),
    outs: Sequence[tuple[Feed, Stub, int]] = (),
    fan: bool = True,
) -> Part:
    """Return a part: heading above, facts below, stubs on both sides.

    Parameters
    ----------
    ins, outs
        Feed, its stub, and which of the body's heights it joins. Where several leave one height they fan out from an
        upright piece of the same conductor, unless ``fan`` is false.
    """
    left = max((stub.width_mm for _, stub, _ in ins), default=0.0)
    right = max((stub.width_mm for _, stub, _ in outs), default=0.0)
    in_at = _heights(body.in_heights, [port for _, _, port in ins])
    out_at = _heights(body.out_heights, [port for _, _, port in outs])
    reach = [*zip(in_at, (s for _, s, _ in ins), strict=True), *zip(out_at, (s for _, s, _ in outs), strict=True)]
    up = max([body.up_mm, *(height + stub.up_mm for height, stub in reach)])
    down = max([body.down_mm, *(stub.down_mm - height for height, stub in reach)])
    top = (_NAME_MM if heading else 0.0) + up
    spread_out = len(set(out_at)) > len({port for _, _, port in outs})
    spread_in = len(set(in_at)) > len({port for _, _, port in ins})
    lead_in, lead_out = (3.0 if fan and spread_in else 0.0), (3.0 if fan and spread_out else 0.0)
    x0 = left + lead_in
    x1 = x0 + body.width_mm
    items: list[Item] = [Group(body.items, dx_mm=x0, dy_mm=-top)]
    for (_, stub, port), height in zip(ins, in_at, strict=True):
        items += stub.items(0, height - top, left)
        if lead_in:
            items += _fan(left, x0, height - top, body.in_heights[port] - top)
    for (_, stub, port), height in zip(outs, out_at, strict=True):
        items += stub.items(x1 + lead_out, height - top, right)
        if lead_out:
            items += _fan(x1 + lead_out, x1, height - top, body.out_heights[port] - top)
    words = [Text((0 if left else x0, -_HEAD - 0.5), heading, TEXT, bold=True)] if heading else []
    words += [
        Text((0 if left else x0, -top - down - 1.2 - _SMALL - row * FACT_MM), fact, _SMALL, colour=colours.GREY)
        for row, fact in enumerate(facts)
    ]
    items += words
    texts = [width_mm(heading, TEXT, bold=True), *(width_mm(fact, _SMALL) for fact in facts)]
    wide = max(x1 + lead_out + right, (0 if left else x0) + max(texts) + 2)
    # Lines start at the part's right edge: carry each one there.
    end = x1 + lead_out + right
    if wide > end + 1e-9:
        items += [line((end, height - top), (wide, height - top), SYMBOL_PEN) for height in out_at]
    node = LayeredNode(
        id=name,
        width_mm=wide,
        height_mm=top + down + (1.6 + FACT_MM * len(facts) if facts else 0),
        ins=tuple(top - height for height in in_at),
        outs=tuple(top - height for height in out_at),
    )
    return Part(
        node=node,
        items=tuple(items),
        ins={feed.id: index for index, (feed, _, _) in enumerate(ins)},
        outs={feed.id: index for index, (feed, _, _) in enumerate(outs)},
    )


def _heights(ports: Sequence[float], wanted: Sequence[int]) -> list[float]:
    """Return one height a line; several at one port are fanned out round it."""
    found: list[float] = []
    for index, port in enumerate(wanted):
        mates = wanted.count(port)
        rank = wanted[:index].count(port)
        found.append(ports[port] + PORT_MM * ((mates - 1) / 2 - rank))
    return found


def _fan(x_mm: float, from_x_mm: float, y_mm: float, from_y_mm: float) -> list[Item]:
    middle = (x_mm + from_x_mm) / 2
    return [
        line((from_x_mm, from_y_mm), (middle, from_y_mm), SYMBOL_PEN),
        line((middle, from_y_mm), (middle, y_mm), SYMBOL_PEN),
        line((middle, y_mm), (x_mm, y_mm), SYMBOL_PEN),
    ]


def rows_part(
    name: str,
    rows: Sequence[OneLineRow],
    *,
    heading: str,
    facts: Sequence[str] = (),
    feed: tuple[Feed, Stub] | None = None,
    main: tuple[str, str] | None = None,
    boxed: bool = True,
    ratings: Mapping[str, float],
    notes: Mapping[str, str],
) -> Part:
    """Return a block of ways: bar, protective device, rating, load and its name, one row each.

    Parameters
    ----------
    main
        Symbol and text of the panel's own main device, if it has one.
    boxed
        Whether it is one enclosure, which gets a frame and a thick bar.
    ratings, notes
        By the row's key: a rating that spile chose; words to add (a wire number).
    """
    left = feed[1].width_mm if feed else 2.0
    head = _NAME_MM + FACT_MM * len(facts) + 2.5
    inset = 3.0 if boxed else 0.0
    main_shape = symbol(main[0]) if main else None
    main_wide = max(main_shape.width_mm, width_mm(main[1], _SMALL)) + 4 if main_shape and main else 3.0
    bar_x = left + inset + main_wide
    longest = max([0.0, *(symbol(_row_symbol(row)).width_mm for row in rows)])
    rating_wide = max([0.0, *(width_mm(_rating(row, ratings), _SMALL) for row in rows)])
    load_x = bar_x + 6 + longest + rating_wide + 3
    text_x = load_x + 8
    name_wide = max([10.0, *(width_mm(row.text, TEXT) for row in rows)])
    amount_wide = max([0.0, *(width_mm(_amount(row, notes), _SMALL) for row in rows)])
    right = text_x + name_wide + 4 + amount_wide + inset
    right = max(right, left + inset + width_mm(heading, TEXT, bold=True) + 2 * inset)
    first = -head - _ROW_MM / 2
    last = first - _ROW_MM * max(len(rows) - 1, 0)
    bottom = last - _ROW_MM / 2 - inset
    middle = (first + last) / 2
    items: list[Item] = []
    if boxed:
        items.append(rect(Box(left, bottom, right, 0), pens.ADJACENT))
    items.append(Text((left + inset, -_HEAD - 1.4), heading, TEXT, bold=True))
    items += [
        Text((left + inset, -_HEAD - 1.4 - FACT_MM * (row + 1)), fact, _SMALL, colour=colours.GREY)
        for row, fact in enumerate(facts)
    ]
    if rows:
        items.append(line((bar_x, first + 1.5), (bar_x, last - 1.5), THICK if boxed else SYMBOL_PEN))
    if feed:
        items += feed[1].items(0, middle, left)
        if main_shape and main:
            items += [
                line((left, middle), (left + inset + 1, middle), SYMBOL_PEN),
                main_shape.at(left + inset + 1, middle),
                line((left + inset + 1 + main_shape.width_mm, middle), (bar_x, middle), SYMBOL_PEN),
                Text((left + inset + 1, middle - main_shape.down_mm - 1), main[1], _SMALL, level="top"),
            ]
        else:
            items.append(line((left, middle), (bar_x, middle), SYMBOL_PEN))
    for index, row in enumerate(rows):
        y = first - index * _ROW_MM
        items += _row(
            row, y, bar_x=bar_x, load_x=load_x, text_x=text_x, end_x=right - inset, ratings=ratings, notes=notes
        )
    ins = {feed[0].id: 0} if feed else {}
    node = LayeredNode(id=name, width_mm=right, height_mm=-bottom, ins=(-middle,) if feed else (), column=-1)
    return Part(node=node, items=tuple(items), ins=ins, outs={})


def _row_symbol(row: OneLineRow) -> str:
    return protection_symbol(row.kind, residual=row.residual)


def _rating(row: OneLineRow, ratings: Mapping[str, float]) -> str:
    if row.kind == "none":
        return ""
    return rating_text(row.rating or ratings.get(row.key), residual=row.residual, poles=row.poles)


def _amount(row: OneLineRow, notes: Mapping[str, str]) -> str:
    return "   ".join(filter(None, (notes.get(row.key, ""), row.load)))


def _row(
    row: OneLineRow, y: float, *, bar_x: float, load_x: float, text_x: float, end_x: float,
    ratings: Mapping[str, float], notes: Mapping[str, str],
) -> list[Item]:  # fmt: skip
    grey = row.state == "spare"
    ink = colours.GREY if grey else colours.INK
    items: list[Item] = [line((bar_x, y), (bar_x + 6, y), SYMBOL_PEN)]
    if row.mark:
        items.append(Text((bar_x + 3.6, y + 0.9), row.mark, _SMALL, "centre", bold=True))
    x = bar_x + 6
    if row.kind != "none":
        shape = symbol(_row_symbol(row))
        items.append(shape.at(x, y))
        x += shape.width_mm
    rating = _rating(row, ratings)
    colour = colours.ALARM if "?" in rating else ink
    if rating:
        items.append(Text((x + 1, y + 0.9), rating, _SMALL, colour=colour))
    if not grey:
        items.append(line((x, y), (load_x, y), SYMBOL_PEN))
        if row.symbol:
            items.append(symbol(row.symbol).at(load_x, y))
        else:
            items.append(line((load_x, y), (load_x + 5, y), SYMBOL_PEN))
    items.append(Text((text_x, y), row.text, TEXT, level="middle", colour=ink))
    amount = _amount(row, notes)
    if amount:
        colour = colours.ALARM if "?" in amount else colours.GREY
        items.append(Text((end_x - 1, y), amount, _SMALL, "right", "middle", colour=colour))
    return items
