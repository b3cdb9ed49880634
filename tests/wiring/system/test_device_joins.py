"""What devices join: clamps of a terminal block stay apart, and a shunt in a return carries its feeder through."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from layout.wiring.laws.all_laws import breaches
from tests.wiring.laws.boats import case, system
from tests.wiring.stages import system_of

if TYPE_CHECKING:
    from pathlib import Path

BLOCK = {"name": "Block", "location": "cabin", "terminals": {"1": {"pole": "+"}, "2": {"pole": "+"}}}


def mast(second: str) -> dict[str, Any]:
    """Return two lights of two ways through a terminal block; the second light's feed lands on the clamp given."""
    found: dict[str, Any] = {"devices.block": BLOCK}
    for key, way, clamp in (("lamp", "1", "1"), ("radio", "2", second)):
        found[f"circuits.{key}"] = {
            "from": f"dc/{way}",
            "to": key,
            "purpose": "cabin lights",
            "load": {"current": "4 A"},
            "legs": {
                "feed": {"from": f"dc/{way}", "to": f"block/{clamp}", "pole": "+"},
                "up": {"from": f"block/{clamp}", "to": f"{key}/+", "pole": "+", "current": "4 A"},
                "back": {"from": f"{key}/-", "to": "dc/-", "pole": "-"},
            },
        }
    return found


@pytest.mark.parametrize(("second", "joined"), [("1", True), ("2", False)])
def test_clamps_of_a_block_are_apart(tmp_path: Path, second: str, joined: bool) -> None:
    """Two ways on one clamp feed each other's light (fuse 82); on two clamps neither does."""
    assert ("fuse 82" in {one.rule for one in breaches(system(tmp_path, mast(second)))}) is joined


SHUNT: dict[str, Any] = {
    "devices.shunt": {
        "name": "Shunt",
        "location": "locker",
        "joins": [["load", "bank"]],
        "terminals": {"load": {"pole": "-"}, "bank": {"pole": "-"}},
    },
    "feeders.home": {"name": "Bank return", "from": "minus", "to": "shunt/load", "poles": "-"},
    "feeders.shunt_home": {"name": "Shunt to bank", "from": "shunt/bank", "to": "bank/-", "poles": "-"},
    "bus_bars.minus.voltage": None,
}


def test_a_shunt_carries_the_return_through(tmp_path: Path) -> None:
    """Both parts of the bank's return have its voltage, one size, and what alternator and charger push: 60 and 20 A."""
    made = case(tmp_path, SHUNT)
    near, far = (made.settled.sized[f"feeders.{key}"] for key in ("home", "shunt_home"))
    assert (near.segment.nominal_v, far.segment.nominal_v) == (12.0, 12.0)
    assert near.current.current_a == far.current.current_a == 60.0 + 20.0
    assert near.size == far.size
    assert not {"wire 9", "wire 49"} & {one.rule for one in breaches(system_of(made))}
