"""Which keys of a project name something else that must exist, as a table."""

from __future__ import annotations

from layout.light_dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Reference:
    """Keys that name an entry of ``section``; ``called`` is what messages call it."""

    pattern: tuple[str, ...]
    section: str
    called: str


def _rows(section: str, called: str, *patterns: str) -> list[Reference]:
    return [Reference(tuple(pattern.split(".")), section, called) for pattern in patterns]


REFERENCES: tuple[Reference, ...] = tuple(
    row
    for rows in (
        _rows("panels", "panel", "devices.*.panel.?", "devices.*.pin.panel", "wishes.wanted.*.panel", "energy.heat.@"),
        _rows(
            "locations", "location",
            "devices.*.location", "panels.*.cable_exit.location", "wireways.*.from", "wireways.*.to",
            "supplies.*.location",
            "battery_switches.*.location", "bus_bars.*.location", "breaker_panels.*.location",
            "feeders.*.protection.location", "feeders.*.protection_to.location", "circuits.*.protection.location",
            "circuits.*.legs.*.protection.location", "breaker_panels.*.main.location",
            "networks.*.feed_at", "networks.*.tap_at", "networks.*.built.*.at",
        ),
        _rows(
            "devices", "device",
            "supplies.*.device", "battery_switches.*.device", "bus_bars.*.device", "breaker_panels.*.device",
            "feeders.*.protection.device", "feeders.*.protection_to.device", "circuits.*.protection.device",
            "circuits.*.legs.*.protection.device",
            "rules.relations.?.left_to_right.*", "rules.relations.?.top_to_bottom.*", "rules.relations.?.row.*",
            "rules.relations.?.column.*", "rules.relations.?.on_side.*", "rules.relations.?.in_zone.*",
            "rules.relations.?.group.*", "rules.relations.?.mirrored.*", "wishes.wanted.*.devices.?",
            "wishes.wanted.*.to", "networks.*.nodes.*.device", "serial.*.talker", "serial.*.listeners.*.device",
            "serial.*.shield_at.*", "antennas.*.radio", "antennas.*.antenna",
            "signals.*.from", "signals.*.to", "energy.heat.*.watts.@",
            "energy.heat.*.cool.*",
        ),
        _rows(
            "circuits", "circuit",
            "breaker_panels.*.ways.*.circuit", "networks.*.circuit", "networks.*.nodes.*.circuit",
            "energy.situations.*.uses.@",
        ),
        _rows(
            "cables", "kind of cable",
            "feeders.*.cable", "circuits.*.cable", "circuits.*.legs.*.cable", "serial.*.cable",
            "signals.*.cable",
        ),
        _rows("wireways", "wireway", "feeders.*.wireways.*", "circuits.*.wireways.*", "circuits.*.legs.*.wireways.*",
            "signals.*.wireways.*"),
        _rows(
            "supplies", "supply",
            "networks.*.supply", "energy.charging.*.supply", "energy.banks.*.supply", "energy.conversions.*.supply",
            "energy.conversions.*.source",
        ),
        _rows("energy.banks", "bank", "energy.charging.*.bank"),
        _rows("energy.charging", "charging source", "energy.situations.*.sources.@"),
        _rows("circuits or energy.charging", "circuit or charging source", "energy.situations.*.off.*"),
        _rows("battery_switches", "battery switch", "switch_states.*.@"),
        _rows("switch_states", "switch state", "short_time_states.*"),
    )
    for row in rows
)  # fmt: skip
"""Keys whose value (or whose own keys, ``@``) must be an entry of another section; patterns as in ``walk.matching``."""

OWN_KEYS: tuple[tuple[str, str, str, str], ...] = (
    ("networks.*.nodes.*", "device", "devices", "device"),
    ("serial.*.listeners.*", "device", "devices", "device"),
    ("energy.charging.*", "supply", "supplies", "supply"),
    ("energy.banks.*", "supply", "supplies", "supply"),
    ("energy.conversions.*", "supply", "supplies", "supply"),
)
"""Entries that name what they stand for by their own key, unless the given key says otherwise."""

ENDS: tuple[tuple[str, ...], ...] = tuple(
    tuple(pattern.split("."))
    for pattern in (
        "supplies.*.fed_from", "feeders.*.from", "feeders.*.to", "circuits.*.from", "circuits.*.to",
        "circuits.*.legs.*.from", "circuits.*.legs.*.to",
    )
)  # fmt: skip
"""Keys that hold an end, ``owner`` or ``owner/terminal``."""

OWNERS: dict[str, str] = {
    "supplies": "supply", "battery_switches": "battery switch", "bus_bars": "bus bar",
    "breaker_panels": "breaker panel",
    "devices": "device", "locations": "location",
}  # fmt: skip
"""Sections whose entries may own an end, and what messages call them."""
