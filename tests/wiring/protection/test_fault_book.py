"""What a device must break: by U/R, by the tables of ABYC E-11, or not known; each beside its just-legal twin.

Table V-A, 12 V and 24 V: up to 650 A of cold cranking 1500 A in the first device and 750 A in later ones, up to 1100 A
3000 A and 1500 A; 32 V: up to 1250 A 3000 A and 1500 A. Table V-B, 120 V from shore: 3000 A in each.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import pytest

from layout.wiring.protection.fault_book import FaultRange, fault_book, needed_a
from layout.wiring.system.device_faults import DeviceFault
from layout.wiring.system.graph import Guard, PowerSource, System


def source(key: str = "bank", kind: str = "battery", **more: object) -> PowerSource:
    """Return a source of 12 V."""
    posts = {"live": f"{key}/+", "back": f"{key}/-"}
    return PowerSource(key=key, entry=key, name=f"the {key}", kind=kind, **{**posts, "nominal_v": 12.0, **more})


def needed(*sources: PowerSource, poles: int = 1, feeding: tuple[str, ...] | None = None, **more: object):
    """Return what a device that all of some sources feed must break, and by what."""
    guard = Guard(
        key="g", device="g", entry="g", name="g", a="a", b="b", pole="+", kind="breaker", rating_a=10.0, poles=poles
    )
    keys = tuple(each.key for each in sources) if feeding is None else feeding
    fault = DeviceFault(guard=guard, sources=keys, **more)
    return needed_a(fault, {each.key: each for each in sources})


def lead_bank(cranking_a: float | None, key: str = "bank", **more: object) -> PowerSource:
    """Return a lead battery."""
    return source(key, chemistry="lead", cranking_a=cranking_a, **more)


@pytest.mark.parametrize(
    ("cranking_a", "first", "amps"),
    [(649.0, True, 1500.0), (651.0, True, 3000.0), (649.0, False, 750.0), (651.0, False, 1500.0), (0.9, True, 1500.0)],
)
def test_table_of_cold_cranking(cranking_a: float, first: bool, amps: float) -> None:
    """The first device after the battery by the main column, later ones by the branch column."""
    need, by = needed(lead_bank(cranking_a), first=first)
    assert need == amps
    assert "Table V-A" in by


def test_cold_cranking_of_all_batteries_counts_together() -> None:
    """Two banks of 325 A are 650 A, just; of 326 A they are 652 A; a bank without a figure adds nothing."""
    assert needed(lead_bank(325.0), lead_bank(325.0, "other"), first=True)[0] == 1500.0
    assert needed(lead_bank(326.0), lead_bank(326.0, "other"), first=True)[0] == 3000.0
    assert needed(lead_bank(650.0), lead_bank(None, "other"), first=True)[0] == 1500.0


def test_only_a_lead_battery_cranks() -> None:
    """What the file says of a charger's or a lithium bank's cranking is no row of the table."""
    assert needed(lead_bank(600.0), source("c", "charger", cranking_a=600.0), first=True)[0] == 1500.0
    strong = source("li", chemistry="lithium", cranking_a=600.0, fault_a=100.0)
    assert needed(lead_bank(600.0), strong, first=True)[0] == 1500.0
    assert needed(strong, first=True) == (None, "")


def test_highest_voltage_that_feeds_it_chooses_the_table() -> None:
    """1200 A of cold cranking ask 2500 A of a later device at 24 V, and 1500 A by the table of 32 V."""
    assert needed(lead_bank(1200.0, nominal_v=24.0))[0] == 2500.0
    assert needed(lead_bank(1200.0, nominal_v=32.0))[0] == 1500.0
    pair = lead_bank(600.0, nominal_v=12.0), lead_bank(600.0, "other", nominal_v=32.0)
    assert needed(*pair)[0] == needed(*reversed(pair))[0] == 1500.0


@pytest.mark.parametrize(("highest_a", "need", "words"), [(1499.0, 1500.0, "Table V-A"), (1501.0, 1501.0, "U/R")])
def test_higher_of_reckoned_and_table(highest_a: float, need: float, words: str) -> None:
    """U/R counts where it is above the table, and else the table."""
    amps, by = needed(lead_bank(600.0), first=True, highest_a=highest_a)
    assert amps == need
    assert words in by


def test_without_a_table_the_reckoned_current_counts_and_without_that_nothing_is_known() -> None:
    """A converter has no row: 40 A by U/R are 40 A; without U/R the answer is not known, and not zero."""
    assert needed(source(kind="converter"), highest_a=40.0) == (40.0, "U/R with full sources and cold conductors")
    assert needed(source(kind="converter")) == (None, "")
    assert needed(lead_bank(0.0)) == needed(lead_bank(None)) == (None, "")


@pytest.mark.parametrize(
    ("facts", "need"),
    [({}, 20_000.0), ({"fault_a": 900.0}, 40.0), ({"ohm": 0.01}, 40.0), ({"chemistry": "lead"}, 40.0)],
)
def test_lithium_bank_of_unknown_strength_asks_for_20_ka(facts: dict[str, object], need: float) -> None:
    """Only a lithium bank with neither a fault current nor a resistance stands for the class of 20 kA."""
    amps, by = needed(source(**{"chemistry": "lithium", **facts}), highest_a=40.0)
    assert amps == need
    assert ("20 kA class that stands for the bank" in by) == (need == 20_000.0)


@pytest.mark.parametrize(
    ("poles", "highest_a", "need"), [(1, 2999.0, 3000.0), (2, 2999.0, 3000.0), (1, 3001.0, 3001.0)]
)
def test_shore_asks_for_3000_a(poles: int, highest_a: float, need: float) -> None:
    """3000 A by Table V-B, with one pole or two, unless more is reckoned."""
    assert needed(source("quay", "shore"), poles=poles, highest_a=highest_a)[0] == need
    assert needed(source("set", "generator"), poles=poles, highest_a=highest_a)[0] == highest_a


def test_source_of_unknown_strength_leaves_it_unknown_unless_a_table_stands_for_it() -> None:
    """A battery of no figures makes it unknown, a lithium bank or shore of no figures does not."""
    known = lead_bank(600.0)
    more = {"feeding": ("bank",), "first": True, "highest_a": 40.0}
    assert needed(known, source("x"), unknown=("x",), **more) == (None, "")
    assert needed(known, source("x"), **more)[0] == 1500.0
    lithium, shore = source("li", chemistry="lithium"), source("quay", "shore")
    assert needed(known, lithium, unknown=("li",), **more)[0] == 20_000.0
    assert needed(known, shore, unknown=("quay",), **more)[0] == 3000.0
    assert needed(known, shore, source("x"), unknown=("quay", "x"), **more) == (None, "")
    assert needed(known, unknown=("not in the file",), **more) == (None, "")
    assert needed(known, **{**more, "feeding": ("bank", "not in the file")})[0] == 1500.0


def test_missing_return_leaves_it_unknown() -> None:
    """A source of which only the live post reaches the device has no reckoned fault."""
    assert needed(lead_bank(600.0), first=True, one_sided=("bank",)) == (None, "")
    assert needed(lead_bank(600.0), first=True)[0] == 1500.0


def test_book_has_each_device_by_its_key() -> None:
    """What a device must break, in amperes, and its lowest fault as it was reckoned."""
    guard = Guard(
        key="g +", device="g", entry="feeders.g", name="g", a="a", b="b", pole="+", kind="breaker", rating_a=10.0
    )
    fault = DeviceFault(guard=guard, sources=("bank",), lowest_a=321.0)
    system = SimpleNamespace(sources=(lead_bank(600.0),), device_faults={"g +": fault})
    assert fault_book(cast("System", system)) == {"feeders.g": FaultRange(needed_breaking_a=750.0, lowest_a=321.0)}
