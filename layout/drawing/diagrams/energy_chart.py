"""The chart of the day: what a bank gives to each system hour by hour, what the sources bring, and its charge."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import width_mm
from layout.drawing.elements.pens import Pen
from layout.drawing.elements.scene import (
    FillPath,
    Group,
    HatchPath,
    Scene,
    StrokePath,
    Text,
    box_path,
    line,
    polyline_path,
    rect,
)
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.drawing.elements.scene import Item
    from layout.energy.balance import SituationSheet
    from layout.energy.bank import BankDay

_SMALL, _PLAIN, _HEAD = 1.8, 2.5, 3.5
PLOT = Box(16.0, 12.0, 160.0, 82.0)
_SOURCES = Pen(name="sources", width_mm=0.5, colour=colours.AMBER)
CHARGE = Pen(name="charge", width_mm=0.7, colour=colours.INK)
DEPTH = Pen(name="depth", width_mm=0.35, dash_mm=(2.0, 1.2), colour=colours.ALARM)
_TINTS = colours.SYSTEM_TINTS
"""Fills of the systems, from the axis up; beyond six they begin again, hatched."""


def day_chart(sheet: SituationSheet, day: BankDay, names: Mapping[str, str] | None = None) -> Scene:
    """Return the chart of one bank in one situation.

    Bars are average watts that the bank gives in each hour, by system, converter losses included; the stepped line is
    what the sources bring; the heavy line is the share of charge, right axis, from full at midnight.

    Parameters
    ----------
    names
        Names of supplies by id, for the key.
    """
    systems = sheet.use.by_hour_w[day.id]
    brought = [sum(row.by_hour_w[hour] for row in sheet.charging if row.bank == day.id) for hour in range(24)]
    given = [sum(profile[hour] for profile in systems.values()) for hour in range(24)]
    top = _round_up(max([*brought, *given, 1.0]))
    items: list[Item] = [Text((0.0, 98.0), f"{day.name}: {sheet.name}", _HEAD, bold=True)]
    items.append(Text((0.0, 92.5), _summary(day), _PLAIN))
    items += _axes(top, charge=bool(day.state))
    items += _bars(systems, top)
    items += _steps(brought, top)
    if day.state:
        items += _charge(day)
    items += _key(systems, names or {}, sources=any(brought), charge=bool(day.state))
    return Scene(
        width_mm=186.0,
        height_mm=118.0,
        items=(Group(tuple(items), name="day_chart", dx_mm=4.0, dy_mm=14.0),),
        title=f"{day.name}: {sheet.name}",
    )


def _summary(day: BankDay) -> str:
    if day.drawn_wh is None:
        return f"gives at least {day.known_wh:.0f} Wh a day; the rest is not known"
    lasts = "" if day.autonomy_h is None else f"; lasts {day.autonomy_h:.0f} h with no source"
    brought = "" if day.brought_wh is None else f"; the sources offer {day.brought_wh:.0f} Wh"
    return f"gives {day.drawn_wh:.0f} Wh a day{brought}{lasts}"


def _round_up(value: float) -> float:
    """Return the next round number: 1, 1.5, 2, 3, 4, 5 or 8 times a power of ten."""
    scale = 10.0 ** math.floor(math.log10(value))
    steps = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 8.0, 10.0)
    return next(step * scale for step in steps if value <= step * scale * (1 + 1e-9))


def _x(hour: float) -> float:
    return PLOT.x0 + PLOT.width * hour / 24


def _y(watts: float, top: float) -> float:
    return PLOT.y0 + PLOT.height * watts / top


def _axes(top: float, *, charge: bool) -> list[Item]:
    items: list[Item] = [rect(PLOT, pens.RULE_PEN)]
    for step in range(6):
        y = PLOT.y0 + PLOT.height * step / 5
        if 0 < step < 5:
            items.append(line((PLOT.x0, y), (PLOT.x1, y), pens.HAIR))
        items.append(Text((PLOT.x0 - 1.5, y), f"{top * step / 5:g}", _SMALL, "right", "middle"))
        if charge:
            items.append(Text((PLOT.x1 + 1.5, y), f"{20 * step}", _SMALL, "left", "middle"))
    for hour in range(0, 25, 3):
        items.append(line((_x(hour), PLOT.y0), (_x(hour), PLOT.y0 - 1.2), pens.RULE_PEN))
        items.append(Text((_x(hour), PLOT.y0 - 4.0), f"{hour:02d}", _SMALL, "centre"))
    items.append(Text((PLOT.x0 - 1.5, PLOT.y1 + 2.5), "W", _PLAIN, "right"))
    items.append(Text((PLOT.x1, PLOT.y0 - 8.5), "hour of the day", _PLAIN, "right"))
    if charge:
        items.append(Text((PLOT.x1 + 1.5, PLOT.y1 + 2.5), "charge %", _PLAIN))
    return items


def _bars(systems: Mapping[str, tuple[float, ...]], top: float) -> list[Item]:
    items: list[Item] = []
    base = [0.0] * 24
    for number, profile in enumerate(systems.values()):
        for hour, watts in enumerate(profile):
            if watts <= 0:
                continue
            bar = Box(_x(hour) + 0.4, _y(base[hour], top), _x(hour + 1) - 0.4, _y(base[hour] + watts, top))
            items.append(_filled(bar, number))
            base[hour] += watts
    return items


def _filled(box: Box, number: int) -> Item:
    colour = _TINTS[number % len(_TINTS)]
    if number < len(_TINTS):
        return FillPath(box_path(box), colour)
    return HatchPath(box_path(box), Pen(name="bar", width_mm=0.25, colour=colour), spacing_mm=1.2)


def _steps(brought: list[float], top: float) -> list[Item]:
    if not any(brought):
        return []
    points = []
    for hour, watts in enumerate(brought):
        points += [(_x(hour), _y(watts, top)), (_x(hour + 1), _y(watts, top))]
    return [StrokePath(polyline_path(points), _SOURCES)]


def _charge(day: BankDay) -> list[Item]:
    points = [(_x(0), PLOT.y1), *((_x(hour + 1), PLOT.y0 + PLOT.height * s) for hour, s in enumerate(day.state))]
    items: list[Item] = [StrokePath(polyline_path(points), CHARGE)]
    if day.lowest_state is not None:
        y = PLOT.y0 + PLOT.height * day.lowest_state
        items.append(line((PLOT.x0, y), (PLOT.x1, y), DEPTH))
        words = "allowed depth of discharge"
        items.append(Text((PLOT.x0 + 1.5, y + 1.0), words, _SMALL, colour=colours.ALARM, halo=True))
    return items


def _key(
    systems: Mapping[str, tuple[float, ...]], names: Mapping[str, str], *, sources: bool, charge: bool
) -> list[Item]:
    items: list[Item] = []
    x, y = PLOT.x0, -2.0
    entries: list[tuple[str, Item, float]] = []
    for number, (system, profile) in enumerate(systems.items()):
        if any(profile):
            entries.append((names.get(system, system), _filled(Box(0.0, 0.0, 5.0, 2.5), number), 5.0))
    if sources:
        entries.append(("sources", line((0.0, 1.2), (8.0, 1.2), _SOURCES), 8.0))
    if charge:
        entries.append(("charge, from full at midnight", line((0.0, 1.2), (8.0, 1.2), CHARGE), 8.0))
    for words, mark, wide in entries:
        room = wide + 1.5 + width_mm(words, _PLAIN) + 6.0
        if x + room > PLOT.x1 + 16.0 and x > PLOT.x0:
            x, y = PLOT.x0, y - 5.0
        items.append(Group((mark,), dx_mm=x, dy_mm=y))
        items.append(Text((x + wide + 1.5, y), words, _PLAIN))
        x += room
    return items
