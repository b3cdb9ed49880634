"""Laws on paths, poles, voltages, switches and residual current: each wrong boat beside one that is just legal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
import yaml

import layout
from layout.wiring.laws.closed_path import closed_path
from layout.wiring.laws.converted import converted
from layout.wiring.laws.dead_when_off import dead_when_off
from layout.wiring.laws.poles import poles
from layout.wiring.laws.residual import residual
from layout.wiring.laws.solar_input import solar_input
from layout.wiring.laws.voltages import voltages
from layout.wiring.system.graph import Join, Node, System
from layout.wiring.system.nets import nets
from layout.wiring.wire import wire
from tests.wiring.laws.boats import bow, case, changed, system

if TYPE_CHECKING:
    from pathlib import Path

    from layout.wiring.laws.breach import Breach

LAWS = (closed_path, poles, voltages, solar_input, converted, dead_when_off, residual)

AC_TERMINALS = {"L": {"pole": "L"}, "N": {"pole": "N"}, "PE": {"pole": "PE"}}
SOCKET_2 = {"name": "Socket 2", "location": "cabin", "terminals": AC_TERMINALS}
STRAIGHT = {
    "name": "Straight socket", "from": "shore", "to": "socket2", "purpose": "socket", "load": {"power": "1000 W"},
}  # fmt: skip
SHUNT = {"location": "locker", "terminals": {"load": {"pole": "-"}, "bank": {"pole": "-"}}}
BLADE = {"kind": "blade fuse", "from_source": "100 mm"}
BREAKER = {"kind": "miniature breaker", "rating": "10 A", "poles": 2, "residual": "30 mA"}
RELAY = {"name": "Charging relay", "kind": "charging relay", "voltage": "12 V", "location": "locker"}
LINKED = {"kind": "isolator", "voltage": "12 V", "location": "locker"}


def relay(bank_side: str) -> dict[str, Any]:
    """Return a charging relay in place of the parallel switch, from a point on the bank's side to the start battery."""
    fuse = {**BLADE, "rating": "60 A"}
    return {
        "battery_switches.parallel": None, "battery_switches.relay": RELAY, "switch_states": None,
        "feeders.par_a": {"name": "Relay lead", "from": bank_side, "to": "relay/in", "protection": fuse},
        "feeders.par_b": {"name": "Relay to start", "from": "relay/out", "to": "start/+", "protection_to": fuse},
    }  # fmt: skip


def up(feed: str, **more: Any) -> dict[str, Any]:
    """Return a converter to a panel of 24 V with a lamp, and what the converter's entry says besides."""
    return {
        "supplies.up": {"kind": "converter", "name": "Converter", "voltage": "24 V", "location": "locker",
                        "current": "10 A", "self_limiting": True, "efficiency": "90 %", "fed_from": feed, **more},
        "feeders.up_in": {"from": feed, "to": "up/in", "protection": {**BLADE, "rating": "30 A"}},
        "feeders.up_home": {"from": "up/-", "to": "minus", "poles": "-"},
        "breaker_panels.p24": {"voltage": "24 V", "location": "locker", "ways": {1: {"rating": "5 A"}}},
        "feeders.p24": {"from": "up/+", "to": "p24/in", "protection": {**BLADE, "rating": "10 A"}},
        "feeders.p24_home": {"from": "p24/-", "to": "up/-", "poles": "-"},
        "circuits.lamp.from": "p24/1",
    }  # fmt: skip


def sun(**more: Any) -> dict[str, Any]:
    """Return a solar controller of 10 A on the bank, and what its entry says besides."""
    return {
        "supplies.sun": {"name": "Solar", "kind": "solar", "voltage": "12 V", "location": "locker", "current": "10 A",
                         "self_limiting": True, **more},
        "feeders.sun": {"from": "sun/+", "to": "bank/+", "protection_to": {**BLADE, "rating": "15 A"}},
        "feeders.sun_home": {"from": "sun/-", "to": "bank/-", "poles": "-"},
    }  # fmt: skip


def two_outputs(**more: Any) -> dict[str, Any]:
    """Return the charger with a second output to the start battery, which is of lithium, and what is said besides."""
    return {
        "supplies.charger.outputs": 2, "supplies.start.chemistry": "lithium",
        "feeders.charge2": {"name": "Charger to start", "from": "charger/+2", "to": "start/+",
                            "protection_to": {**BLADE, "rating": "30 A"}},
        **more,
    }  # fmt: skip


APART = {**up("plus", isolated=True), "feeders.up_home.from": "up/in-"}
"""A converter that shares no conductor between input and output."""
TANK = {
    "bus_bars.earth": {"name": "Main earth bar", "pole": "bond", "location": "locker"},
    "devices.tank": {"name": "Tank", "location": "cabin", "terminals": {"earth": {"pole": "bond"}}},
}
BY_SWITCH: dict[str, Any] = {
    "supplies.generator": {"kind": "generator", "voltage": "230 V", "location": "engine", "current": "10 A",
                           "polarized": True, "neutral_bond": True},
    "battery_switches.ac_switch": {
        "kind": "changeover", "voltage": "230 V", "location": "locker", "poles": 2,
        "positions": {"shore": [["in1", "out"]], "generator": [["in2", "out"]], "off": []},
    },
    "switch_states": {
        "normal": {"main": "on", "start_main": "on", "parallel": "off", "ac_switch": "shore"},
        "under way": {"main": "on", "start_main": "on", "parallel": "off", "ac_switch": "generator"},
    },
    **{f"feeders.{key}": {"from": start, "to": stop, "poles": ["L", "N"], "protection": BREAKER}
       for key, start, stop in (("inlet", "shore", "ac_switch/in1"), ("generator", "generator", "ac_switch/in2"))},
    "feeders.ac": {"from": "ac_switch/out", "to": "ac", "poles": ["L", "N"]},
    "feeders.pe": {"from": "shore/PE", "to": "ac/PE", "poles": "PE"},
    "feeders.pe2": {"from": "generator/PE", "to": "ac/PE", "poles": "PE"},
}  # fmt: skip
SHUNTED = {
    "feeders.home.to": "shunt/load",
    "feeders.shunt": {"from": "bank/-", "to": "shunt/bank", "poles": "-"},
}  # fmt: skip
LAMP_AGAIN = {
    "name": "Twice", "from": "dc/3", "to": "lamp", "purpose": "cabin lights", "load": {"current": "1 A"},
}  # fmt: skip


INVERTED = {
    "supplies.inv": {"name": "Inverter", "kind": "inverter", "voltage": "230 V", "location": "locker",
                     "power": "3000 W", "self_limiting": True, "polarized": True, "neutral_bond": True,
                     "efficiency": "90 %", "fed_from": "plus"},
    "battery_switches.source": {"kind": "changeover", "voltage": "230 V", "poles": 2, "location": "locker",
                                "break_before_make": True},
    "switch_states": {
        "normal": {"main": "on", "start_main": "on", "parallel": "off", "source": "1"},
        "inverting": {"main": "on", "start_main": "on", "parallel": "off", "source": "2"},
    },
    "breaker_panels.ac2": {"voltage": "230 V", "ac": True, "location": "cabin",
                           "ways": {1: {"rating": "10 A", "poles": 2}}},
    "feeders.inv_in": {"from": "plus", "to": "inv/+", "protection": {**BLADE, "rating": "300 A"}},
    "feeders.inv_home": {"from": "inv/-", "to": "minus", "poles": "-"},
    "feeders.inv_out": {"from": "inv", "to": "source/in2", "poles": ["L", "N", "PE"], "protection": BREAKER},
    "feeders.onward": {"from": "ac/2", "to": "source/in1", "poles": ["L", "N", "PE"]},
    "feeders.ac2": {"from": "source/out", "to": "ac2", "poles": ["L", "N", "PE"]},
    "circuits.socket": None, "supplies.charger.fed_from": "ac2/1", "circuits.charger_ac.from": "ac2/1",
}  # fmt: skip
"""A charger on a panel that a switch lays on the shore, or on an inverter from the bank that it charges."""


def legs(**ends: tuple[str, ...]) -> dict[str, Any]:
    """Return legs by id: from, to, and where it is not the positive, the pole and a shared return's name."""
    keys = ("from", "to", "pole", "shared")
    return {name: dict(zip(keys, words, strict=False)) for name, words in ends.items()}


WRONG: dict[str, tuple[dict[str, Any], dict[str, str]]] = {
    "load without a return": (
        {"circuits.lamp.legs": legs(a=("dc/1", "lamp/+"))},
        {"wire 10": "Cabin lights: fed by Bank, and no return conductor"},
    ),
    "load without a feed": (
        {"circuits.lamp.legs": legs(b=("lamp/-", "dc/-", "-"))},
        {"wire 9": "Cabin lights: no live conductor leads to it"},
    ),
    "a bank's lead that is cut, and the start battery is joined for minutes": (
        {"feeders.lead": None, "feeders.alt.to": "main/in"},
        {"wire 9": "Radio: its live terminal (Radio, +) reaches no source in any switch state of use"},
    ),
    "panel that nothing feeds": ({"feeders.feed": None}, {"wire 9": "reaches no source in any switch state"}),
    "return to a bar that leads nowhere": (
        {"bus_bars.lost": {"pole": "-", "voltage": "12 V", "location": "locker"}, "feeders.feed_home.to": "lost"},
        {"wire 10": "Radio: fed by Bank, but its return (Radio, -) does not reach that source"},
    ),
    "start battery without a negative": (
        {"feeders.link": None, "feeders.starter_home.to": "minus"},
        {"fuse 71": "Start battery: no conductor is on its post -"},
    ),
    "returns of parallel batteries apart": (
        {"feeders.link": None},
        {"fuse 73": "Bank and Start battery are joined on the live side in state 'emergency'"},
    ),
    "alternator that reaches no battery": (
        {"bus_bars.lost": {"pole": "-", "location": "engine"}, "feeders.alt_home.to": "lost"},
        {"fuse 72": "Alternator: in no switch state do both of its posts reach"},
    ),
    "source that nothing is wired to": (
        {"supplies.generator": {"kind": "generator", "voltage": "230 V", "location": "engine", "current": "10 A"}},
        {"fuse 70": "generator: no conductor is on either of its posts"},
    ),
    "switch with an open terminal": ({"feeders.par_b": None}, {"fuse 74": "Parallel switch, out: no conductor"}),
    "socket without PE": (
        {"circuits.socket.legs": legs(l=("ac/2", "socket/L", "L"), n=("socket/N", "ac/N", "N"))},
        {"fuse 36": "Socket: no protective conductor"},
    ),
    "PE that ends on the negative bar": (
        {"feeders.inlet.poles": ["L", "N"], "feeders.earth": {"from": "ac/PE", "to": "minus", "poles": "bond"}},
        {"fuse 36": "does not reach Shore"},
    ),
    "brown on the earth terminal": (
        {"circuits.socket.legs": legs(l=("ac/2", "socket/PE", "L"), n=("socket/N", "ac/N", "N"))},
        {"fuse 75": "pole L, but it is on Socket, PE"},
    ),
    "line and neutral on one terminal": (
        {"circuits.socket.legs": legs(
            l=("ac/2", "socket/L", "L"), n=("socket/L", "ac/N", "N"), e=("socket/PE", "ac/PE", "PE"),
        )},
        {"fuse 75": "pole N, but it is on Socket, L"},
    ),
    "red and black on one terminal": (
        {"circuits.radio.legs": legs(a=("dc/2", "radio/-"), b=("radio/-", "dc/-", "-"))},
        {"fuse 75": "pole +, but it is on Radio, -"},
    ),
    "mains on a lamp of two poles": (
        {"circuits.lamp.from": "ac/2", "circuits.socket": None},
        {"fuse 76": "Lamp has no terminal of pole L"},
    ),
    "plus feeder on the minus bar": (
        {"feeders.feed.from": "minus"},
        {"fuse 75": "pole +, but it is on Minus bar, which is of pole -"},
    ),
    "two voltages in one net": (
        {"supplies.big": {"kind": "battery", "voltage": "24 V", "location": "locker", "chemistry": "lead"},
         "feeders.big": {"from": "big/+", "to": "plus"},
         "feeders.big_home": {"from": "big/-", "to": "minus", "poles": "-"}},
        {"wire 52": "are one net"},
    ),
    "shore and generator of two frequencies": (
        {**BY_SWITCH, "supplies.shore.frequency": 50, "supplies.generator.frequency": 60},
        {"fuse 115": "50 Hz from Shore and 60 Hz from generator, in turn"},
    ),
    "a generator of unknown frequency beside shore of 50 Hz": (
        {**BY_SWITCH, "supplies.shore.frequency": 50},
        {"fuse 115": "50 Hz from Shore and an unknown frequency from generator, in turn"},
    ),
    "an AC earth apart from the main earth": (
        {**TANK, "feeders.tank": {"name": "Tank bond", "from": "tank/earth", "to": "earth", "poles": "bond"}},
        {"fuse 116": "Shore: its protective earth is not joined to Main earth bar"},
    ),
    "a tank bonded to neutral": (
        {**TANK, "feeders.earth": {"from": "ac/PE", "to": "earth", "poles": "PE"},
         "feeders.tank": {"name": "Tank bond", "from": "tank/earth", "to": "ac/N", "poles": "bond"}},
        {"fuse 75": "Tank bond: pole bond, but it is on"},
    ),
    "load of twice the voltage": (
        {"circuits.lamp.load": {"current": "4 A", "lowest_voltage": "20 V"}},
        {"fuse 85": "works from 20 V on, and gets 12 V nominal"},
    ),
    "load that does not bear the bank while it charges": (
        {"circuits.lamp.load": {"current": "4 A", "highest_voltage": "14.3 V"}},
        {"fuse 85": "Cabin lights: bears 14.3 V, and gets up to 14.4 V from Bank"},
    ),
    "load beside a bank whose charging voltage is not said": (
        {"supplies.bank.highest_voltage": None, "circuits.lamp.load": {"current": "4 A", "highest_voltage": "14 V"}},
        {"fuse 85": "bears 14 V, and gets up to 14.4 V from Bank in state 'normal' (its highest voltage is not said)"},
    ),
    "a charging relay on the load side of the main switch": (
        relay("plus"),
        {"fuse 80": "Start battery: with all switches open it still feeds Cabin lights, Radio"},
    ),
    "a link of unlike batteries": (
        {"battery_switches.parallel": LINKED, "supplies.start.chemistry": "lithium"},
        {"fuse 86": "lead beside lithium"},
    ),
    "a converter before the switch": (
        up("bank/+"),
        {"fuse 80": "Converter, input", "fuse 81": "so with all of them open it still feeds Cabin lights"},
    ),
    "a load of an isolated converter that returns to the bank": (
        {**APART, "feeders.p24_home.to": "minus", "feeders.out": {"from": "up/-", "to": "dc/-", "poles": "-"},
         "feeders.feed_home": None, "circuits.radio": None},
        {"wire 10": "Cabin lights: fed by Converter, but its return"},
    ),
    "a shunt of which both conductors arrive": (
        {**SHUNTED, "devices.shunt": SHUNT},
        {"wire 10": "Radio: fed by Bank, but its return"},
    ),
    "one output of a charger for two unlike banks": (
        two_outputs(**{"feeders.charge2.from": "charger/+"}),
        {"fuse 86": "lead beside lithium", "fuse 71": "Charger, output 2: no conductor is on its post +2"},
    ),
    "panels of 600 W on a controller of 10 A": (
        sun(self_limiting=None, array_power="600 W"),
        {"fuse 60": "Solar: panels of 600 W give 50 A at 12 V, and it is made for 10 A"},
    ),
    "the same, said only where the day's energy is": (
        {**sun(self_limiting=False), "energy.charging.sun": {"kind": "solar", "peak": "600 W", "sun_hours": "3 h"},
         "energy.banks.bank": {}},
        {"fuse 60": "panels of 600 W give 50 A"},
    ),
    "panels above the controller's voltage in cold": (
        sun(open_circuit_voltage="63 V", highest_input="75 V"),
        {"fuse 61": "Solar: its panels give 63 V open, 75.6 V in cold, and its input bears 75 V"},
    ),
    "load that drops out of an empty bank": (
        {"circuits.lamp.load": {"current": "4 A", "lowest_voltage": "11.1 V"}},
        {"fuse 85": "gets down to 11 V"},
    ),
    "lead and lithium in parallel": (
        {"supplies.start.chemistry": "lithium", "feeders.straight": {"from": "plus", "to": "start_main/out"}},
        {"fuse 86": "lead beside lithium"},
    ),
    "lights before the switch": (
        {"feeders.feed.from": "bank/+"},
        {"fuse 80": "Bank: with all switches open it still feeds Cabin lights, Radio"},
    ),
    "a second feed of the alarm before the switch, not declared": (
        {"circuits.alarm.always_live": None, "circuits.alarm.legs.other": {"from": "main/in", "to": "alarm/+"}},
        {"fuse 80": "Bank: with all switches open it still feeds Gas alarm"},
    ),
    "main switch in the negative alone": (
        {"feeders.lead.to": "plus", "feeders.to_bar": None, "feeders.home.from": "main/in",
         "feeders.home_2": {"from": "minus", "to": "main/out", "poles": "-"}, "feeders.par_a.from": "plus",
         "feeders.alt_home.to": "bank/-", "feeders.charge_home.to": "bank/-"},
        {"fuse 80": "Bank: with all switches open it still feeds Cabin lights, Radio"},
    ),
    "alarm behind the switch": ({"circuits.alarm.legs.out.from": "plus"}, {"wire 34": "its feed lies behind a switch"}),
    "alarm's return behind the switch": (
        {"battery_switches.main.poles": 2, "feeders.home.from": "main/in", "circuits.alarm.legs.back.to": "minus",
         "feeders.home_2": {"from": "minus", "to": "main/out", "poles": "-"}},
        {"wire 34": "its return lies behind a switch"},
    ),
    "alternator on the load side": (
        {"feeders.alt.to": "plus"},
        {"fuse 81": "Alternator: it stands on the load side of the switches"},
    ),
    "two ways on one lamp": ({"circuits.twice": LAMP_AGAIN}, {"fuse 82": "still reaches what is behind it"}),
    "round the main switch": (
        {"feeders.round": {"from": "main/in", "to": "plus"}},
        {"fuse 83": "stay joined with the switch open"},
    ),
    "socket straight from the shore": (
        {"circuits.straight": STRAIGHT, "devices.socket2": SOCKET_2},
        {"fuse 32": "Straight socket: no residual-current device", "fuse 34": "opens line and neutral together"},
    ),
    "socket from bars of line and neutral": (
        {"bus_bars.line": {"pole": "L", "voltage": "230 V", "location": "locker"},
         "bus_bars.neutral": {"pole": "N", "voltage": "230 V", "location": "locker"},
         "feeders.to_line": {"from": "shore", "to": "line", "poles": "L"},
         "feeders.to_neutral": {"from": "shore", "to": "neutral", "poles": "N"},
         "devices.socket2": SOCKET_2,
         "circuits.straight": {**STRAIGHT, "from": "line", "legs": legs(
             l=("line", "socket2/L", "L"), n=("socket2/N", "neutral", "N"), e=("socket2/PE", "ac/PE", "PE"))}},
        {"fuse 32": "Straight socket: no residual-current device", "fuse 34": "opens line and neutral together"},
    ),
    "a shunt that nothing leaves": (
        {"devices.shunt": SHUNT, "feeders.home.to": "shunt/load"},
        {"wire 10": "Radio: fed by Bank, but its return"},
    ),
    "no residual device": ({"feeders.inlet.protection.residual": None}, {"fuse 32": "Socket: no residual-current"}),
    "residual device of 31 mA": ({"feeders.inlet.protection.residual": "31 mA"}, {"fuse 32": "30 mA or less"}),
    "a charger that is said to be fed by another way": (
        {"supplies.charger.fed_from": "ac/2"}, {"fuse 130": "Charger: fed_from: says way 2 of AC panel"},
    ),
    "a converter that is said to be fed by the start battery": (
        {**up("plus"), "supplies.up.fed_from": "start/+"}, {"fuse 130": "Converter: fed_from: says Start battery"},
    ),
    "a converter whose output is led back to its input": (
        {**bow(), "feeders.bow_out.to": "plus"}, {"fuse 131": "Bow charger: in state 'normal' its output feeds its"},
    ),
    "a charger on the inverter that empties its bank": (
        INVERTED, {"fuse 131": "its output feeds over Inverter its own input"},
    ),
    "panels far above a controller that limits itself": (
        sun(array_power="24000 W"), {"fuse 60": "give 2000 A at 12 V, 200 times what it lets through"},
    ),
    "a main switch made for 6 V": (
        {"battery_switches.main.voltage": "6 V"}, {"fuse 132": "Main switch: it is made for 6 V, and Bank puts 12 V"},
    ),
    "a charging relay of 24 V": (
        {**relay("bank/+"), "battery_switches.relay.voltage": "24 V"}, {"fuse 132": "it is made for 24 V, and"},
    ),
    "a fuse in the bank's return": (
        {"feeders.home.protection": {**BLADE, "rating": "100 A"}},
        {"fuse 133": "device of Bank return: it opens the return alone"},
    ),
    "a breaker in the neutral alone": (
        {"circuits.socket.legs": {
            **legs(l=("ac/2", "socket/L", "L"), n=("socket/N", "ac/N", "N"), pe=("ac/PE", "socket/PE", "PE")),
            "n": {"from": "socket/N", "to": "ac/N", "pole": "N",
                  "protection": {"kind": "miniature breaker", "rating": "10 A"}},
        }},
        {"fuse 133": "it opens the return alone, and"},
    ),
    "a converter from which more is asked than it gives": (
        {**up("plus"), "supplies.up.current": "3 A"}, {"fuse 135": "4 A are asked of it at once in state 'normal'"},
    ),
    "way of one pole, unpolarized": (
        {"breaker_panels.ac.ways.2.poles": 1},
        {"fuse 34": "it opens one pole before Socket, and Shore (not polarized)"},
    ),
}  # fmt: skip

LEGAL: dict[str, dict[str, Any]] = {
    "as it is": {},
    "return to another bar that leads home": {
        "bus_bars.other": {"pole": "-", "voltage": "12 V", "location": "locker"}, "feeders.feed_home.to": "other",
        "feeders.on": {"from": "other", "to": "minus", "poles": "-"},
    },
    "alternator straight to the start battery": {"feeders.alt.to": "start/+"},
    "a lamp from the bar with a fuse": {
        "circuits.lamp.from": "plus",
        "circuits.lamp.protection": {"kind": "blade fuse", "rating": "5 A", "from_source": "60 mm"},
    },
    "residual devices in the ways": {
        "feeders.inlet.protection.residual": None,
        "breaker_panels.ac.ways.1.residual": "30 mA", "breaker_panels.ac.ways.2.residual": "30 mA",
    },
    "socket straight from the shore behind its own device": {
        "devices.socket2": SOCKET_2,
        "circuits.straight": {
            **STRAIGHT, "protection": {"kind": "miniature breaker", "rating": "10 A", "poles": 2, "residual": "30 mA"},
        },
    },
    "way of one pole, polarized": {"breaker_panels.ac.ways.2.poles": 1, "supplies.shore.polarized": True},
    "one lamp after the other": {
        "circuits.lamp.legs": legs(
            a=("dc/1", "lamp/+"), b=("lamp/+", "lamp2/+"), c=("lamp2/-", "lamp/-", "-"), d=("lamp/-", "dc/-", "-")),
    },
    "a common return": {
        "circuits.lamp.legs": legs(a=("dc/1", "lamp/+"), b=("cabin", "dc/-", "-", "cabin return")),
        "circuits.radio.legs": legs(a=("dc/2", "radio/+"), b=("cabin", "dc/-", "-", "cabin return")),
    },
    "load that works to the bank's least": {"circuits.lamp.load": {"current": "4 A", "lowest_voltage": "11 V"}},
    "load that bears the bank's most": {"circuits.lamp.load": {"current": "4 A", "highest_voltage": "14.4 V"}},
    "unlike banks joined for emergencies only": {"supplies.start.chemistry": "lithium"},
    "a switch of two poles, alarm before it": {
        "battery_switches.main.poles": 2, "feeders.home.from": "main/in",
        "feeders.home_2": {"from": "minus", "to": "main/out", "poles": "-"},
        "feeders.alt_home.to": "bank/-", "feeders.charge_home.to": "bank/-",
    },
    "a bond of the negative to earth": {
        "bus_bars.earth": {"pole": "PE", "location": "locker"},
        "feeders.bond": {"from": "minus", "to": "earth", "poles": "bond"},
        "feeders.pe": {"from": "earth", "to": "ac/PE", "poles": "PE"},
    },
    "solar straight to the bank": sun(),
    "panels of 600 W on a controller that limits itself to 10 A": sun(array_power="600 W"),
    "panels of 120 W on a controller of 10 A": sun(self_limiting=None, array_power="120 W"),
    # 1.2 in cold: 62.5 V open are 75 V
    "panels just below the controller's voltage": sun(open_circuit_voltage="62.5 V", highest_input="75 V"),
    "a charger from the start battery to the bank": {
        "supplies.onward": {"kind": "charger", "voltage": "12 V", "location": "engine", "current": "20 A",
                            "self_limiting": True, "efficiency": "90 %", "fed_from": "start_main/out"},
        "feeders.onward_in": {"from": "start_main/out", "to": "onward/in", "protection": {**BLADE, "rating": "30 A"}},
        "feeders.onward": {"from": "onward/+", "to": "bank/+", "protection_to": {**BLADE, "rating": "25 A"}},
        "feeders.onward_home": {"from": "onward/-", "to": "bank/-", "poles": "-"},
    },
    "a converter of common negative to a panel of 24 V": up("plus"),
    "a converter of common negative with two return terminals": {
        **up("plus"), "feeders.up_home.from": "up/in-", "feeders.p24_home.to": "minus"},
    "an isolated converter": APART,
    "a converter that is always live, with what it feeds": {
        **up("bank/+"), "feeders.up_in.always_live": True, "breaker_panels.p24.always_live": True},
    "a panel that is always live": {"feeders.feed.from": "bank/+", "breaker_panels.dc.always_live": True},
    "a charging relay between the batteries": relay("bank/+"),
    "a charging relay between unlike batteries": {**relay("bank/+"), "supplies.start.chemistry": "lithium"},
    "a charger of two outputs, one for each of two unlike banks": two_outputs(),
    "a link of unlike batteries that is closed for minutes only": {
        "battery_switches.parallel": LINKED, "supplies.start.chemistry": "lithium", "short_time_states": ["emergency"]},
    "a shunt of which both conductors arrive, and that says what it joins": {
        **SHUNTED, "devices.shunt": {**SHUNT, "joins": [["load", "bank"]]}},
    "a shunt in the return": {
        "devices.shunt": SHUNT, "feeders.home.to": "shunt/load",
        "feeders.shunt": {"from": "shunt/bank", "to": "bank/-", "poles": "-"},
    },
    "a switch that takes one bank or the other": {
        "battery_switches.main": {
            "kind": "changeover", "voltage": "12 V", "location": "locker",
            "positions": {"1": [["in", "out"]], "2": [["in2", "out"]], "off": []},
        },
        "battery_switches.parallel": None, "feeders.par_a": None, "feeders.par_b": None,
        "switch_states": {"one": {"main": "1", "start_main": "on"}, "two": {"main": "2", "start_main": "on"}},
        "feeders.lead2": {"from": "start/+", "to": "main/in2", "protection": {**BLADE, "rating": "100 A"}},
    },
    "shore or generator by a switch of two poles": BY_SWITCH,
    "an AC earth on the main earth bar, with a tank": {
        **TANK,
        "feeders.earth": {"from": "ac/PE", "to": "earth", "poles": "PE"},
        "feeders.tank": {"name": "Tank bond", "from": "tank/earth", "to": "earth", "poles": "bond"},
    },
    "shore and generator of one frequency": {
        **BY_SWITCH, "supplies.shore.frequency": 50, "supplies.generator.frequency": 50,
    },
    "a bilge pump of two feeds and one return": {
        "devices.lamp2.terminals": {"hand": {"pole": "+"}, "float": {"pole": "+"}, "-": {"pole": "-"}},
        "circuits.pump": {
            "name": "Bilge pump", "from": "dc/3", "to": "lamp2", "purpose": "bilge pump", "load": {"current": "3 A"},
            "legs": {
                "hand": {"from": "dc/3", "to": "lamp2/hand"},
                "float": {"from": "bank/+", "to": "lamp2/float", "always_live": True,
                          "protection": {**BLADE, "rating": "5 A"}},
                "back": {"from": "lamp2/-", "to": "bank/-", "pole": "-"},
            },
        },
    },
    "a charger for a battery of its own that is less than what hangs on that": bow(),
    "a charger on the shore's side of the switch that chooses the inverter": {
        **INVERTED, "supplies.charger.fed_from": "ac/1", "circuits.charger_ac.from": "ac/1",
    },
    "a main switch made for 24 V": {"battery_switches.main.voltage": "24 V"},
    "a fused sense wire from the negative": {
        "devices.alarm.terminals": {"+": {"pole": "+"}, "-": {"pole": "-"}, "sense": {"pole": "sense"}},
        "circuits.alarm.legs.sense": {
            "from": "bank/-", "to": "alarm/sense", "pole": "sense", "protection": {**BLADE, "rating": "1 A"},
        },
    },
    "a converter that gives just what is asked": {**up("plus"), "supplies.up.current": "4.5 A"},
    "a second AC panel from a way of two poles": {
        "breaker_panels.ac2": {"voltage": "230 V", "ac": True, "location": "cabin",
                               "ways": {1: {"rating": "6 A", "poles": 2}}},
        "feeders.sub": {"from": "ac/2", "to": "ac2", "poles": ["L", "N", "PE"]}, "circuits.socket.from": "ac2/1",
    },
    "a switch at the lamp": {
        "devices.dimmer": {"location": "cabin", "terminals": {"in": {"pole": "+"}, "out": {"pole": "switched"}}},
        "circuits.lamp.legs": legs(
            a=("dc/1", "dimmer/in"), b=("dimmer/out", "lamp/+", "switched"), c=("lamp/-", "dc/-", "-")),
    },
}  # fmt: skip


def told(graph: System) -> list[Breach]:
    """Return what these laws say of a system."""
    return [breach for law in LAWS for breach in law(graph)]


@pytest.mark.parametrize("name", WRONG)
def test_each_fault_is_told(name: str, tmp_path: Path) -> None:
    """Every code that must come does, with its words."""
    changes, expected = WRONG[name]
    found = told(system(tmp_path, changes))
    for code, words in expected.items():
        assert any(breach.rule == code and words in breach.message for breach in found), [str(b) for b in found]


@pytest.mark.parametrize("name", LEGAL)
def test_nothing_is_said_of_a_legitimate_design(name: str, tmp_path: Path) -> None:
    """A law that cries at good boats is not read."""
    assert told(system(tmp_path, LEGAL[name])) == []


@pytest.mark.parametrize(
    ("changes", "run", "stop"),
    [
        (WRONG["red and black on one terminal"][0], "circuits.radio:a", ("radio", "-")),
        (WRONG["brown on the earth terminal"][0], "circuits.socket:l", ("socket", "PE")),
        (WRONG["mains on a lamp of two poles"][0], "circuits.lamp", ("lamp", "L")),
    ],
)
def test_a_wrong_terminal_is_not_corrected_on_paper(
    changes: dict[str, Any], run: str, stop: tuple[str, str], tmp_path: Path
) -> None:
    """What is told is printed as it stands in the file, so that the finding and the list speak of one terminal."""
    path = tmp_path / "boat.yaml"
    path.write_text(yaml.safe_dump(changed(changes), sort_keys=False), encoding="utf-8")
    project = layout.read(path).project
    assert project is not None
    end = wire(project, None).run(run).wires[0].end
    assert (end.owner, end.terminal) == stop


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"circuits.lamp.load": {"current": "4 A", "lowest_voltage": "15 V", "highest_voltage": "14 V"}},
            "lowest_voltage 15 V is above highest_voltage 14 V; swap them",
        ),
        ({"supplies.bank.lowest_voltage": "15 V"}, "lowest_voltage 15 V is above highest_voltage 14.4 V; swap them"),
        ({"supplies.bank.highest_voltage": "11.5 V"}, "highest_voltage 11.5 V is below voltage 12 V"),
        ({"supplies.bank.highest_voltage": "144 V"}, "highest_voltage 144 V is no voltage of a 12 V supply"),
        ({"supplies.bank.lowest_voltage": "1.1 V"}, "lowest_voltage 1.1 V is no voltage of a 12 V supply"),
        ({"circuits.lamp.load": {"current": "4 A", "inrush": "3 A"}}, "inrush 3 A is below current 4 A"),
        ({"circuits.lamp.load": {"current": "4 A", "locked_rotor": "3 A"}}, "locked_rotor 3 A is below current 4 A"),
    ],
)
def test_figures_that_gainsay_each_other_are_refused(changes: dict[str, Any], words: str, tmp_path: Path) -> None:
    """The reader names both, so that one of them can be mended."""
    path = tmp_path / "boat.yaml"
    path.write_text(yaml.safe_dump(changed(changes), sort_keys=False), encoding="utf-8")
    reading = layout.read(path)
    assert reading.project is None
    assert any(words in str(finding) for finding in reading.findings), [str(f) for f in reading.findings]


def test_an_isolated_converters_feed_is_sized(tmp_path: Path) -> None:
    """Its input comes home by a terminal of its own: 10 A at 24 V and 90 %, by hand at 0.9 of 12 V."""
    plans = case(tmp_path, APART).settled.sized
    for key in ("up_in", "up_home"):
        assert plans[f"feeders.{key}"].current.current_a == pytest.approx(10 * 24 / 0.9 / 10.8)
        assert plans[f"feeders.{key}"].size is not None


def test_a_shunt_that_names_no_joins_is_passed_in_sizing_too(tmp_path: Path) -> None:
    """The conductors on both its sides are sized for what comes home: 9 A at once, and the charger's 20."""
    shunt = {"location": "locker", "terminals": {"a": {"pole": "-"}, "b": {"pole": "-"}}}
    ends = {"feeders.home.to": "shunt/a", "feeders.shunt": {"from": "shunt/b", "to": "bank/-", "poles": "-"}}
    plans = case(tmp_path, {"devices.shunt": shunt, **ends}).settled.sized
    straight = case(tmp_path, {}).settled.sized["feeders.home"]
    assert [plans[f"feeders.{key}"].current for key in ("home", "shunt")] == [straight.current] * 2


@pytest.mark.parametrize("said", [None, {"normal": {"main": "on", "start_main": "on"}}])
def test_a_charging_relay_is_judged_closed_though_no_state_names_it(said: Any, tmp_path: Path) -> None:
    """It closes by itself: both banks then feed a fault, whatever states the file names."""
    graph = system(tmp_path, {**relay("bank/+"), **({"switch_states": said} if said else {})})
    closed = [state for state in graph.states if state.positions.get("relay") == "on"]
    assert [state.short_time for state in closed] == [True]
    assert all(nets(graph, state).joined("bank/+", "start/+") for state in closed)


def test_a_return_common_to_dc_and_ac_is_told() -> None:
    """A return may be common to several DC voltages, never to DC and AC: two terminals that one block joins."""
    nodes = [
        Node(key=key, owner="block", section="devices", name=f"Block, {key}", kind="device", pole=pole)
        for key, pole in (("a", "-"), ("b", "N"))
    ]
    joined = System(nodes=tuple(nodes), joins=(Join(a="a", b="b", owner="block"),))
    assert [breach.rule for breach in poles(joined)] == ["fuse 77"]
    apart = System(nodes=tuple(nodes))
    assert not list(poles(apart))
