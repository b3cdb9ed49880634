"""An alternator's small wires: what feeds its excitation, and where it senses its voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from layout.wiring.laws.all_laws import breaches
from tests.wiring.laws.boats import system

if TYPE_CHECKING:
    from pathlib import Path

FUSE = {"kind": "cartridge fuse", "rating": "2 A", "from_source": "60 mm"}


def excited(end: str = "key/out") -> dict[str, Any]:
    """Return an excitation over a key switch; ``end`` is where its last wire begins."""
    key = {"name": "Key", "location": "cabin", "terminals": {"in": {"pole": "+"}, "out": {"pole": "switched"}}}
    return {
        "devices.key": key,
        "devices.spare": {"location": "cabin", "terminals": {"+": {"pole": "switched"}}},
        "circuits.excitation": {
            "from": "dc/3",
            "to": "alternator/excitation",
            "purpose": "instruments",
            "load": {"current": "3 A"},
            "legs": {
                "to_key": {"from": "dc/3", "to": "key/in", "pole": "+"},
                "run": {"from": end, "to": "alternator/excitation", "pole": "switched"},
            },
        },
    }


def sensed(protection: dict[str, str] | None) -> dict[str, Any]:
    """Return a sense wire from the bank's post, with a fuse or without."""
    leg = {"from": "bank/+", "to": "alternator/sense", "pole": "sense", "always_live": True}
    circuit = {"from": "bank", "to": "alternator/sense", "purpose": "instruments", "load": {"current": "0.1 A"}}
    legs = {"sense": leg if protection is None else {**leg, "protection": protection}}
    return {"circuits.sense": {**circuit, "always_live": True, "legs": legs}}


def told(folder: Path, changes: dict[str, Any], entry: str) -> set[str]:
    """Return the stops about one entry."""
    return {one.rule for one in breaches(system(folder, changes)) if one.entry == entry} & {"wire 9", "fuse 1"}


@pytest.mark.parametrize(("end", "rules"), [("key/out", set()), ("spare/+", {"wire 9"})])
def test_excitation_has_a_way(tmp_path: Path, end: str, rules: set[str]) -> None:
    """Fed over the key it is a closed path, home by the alternator's own return; from a dead terminal it is open."""
    assert told(tmp_path, excited(end), "circuits.excitation") == rules


@pytest.mark.parametrize(("protection", "rules"), [(FUSE, set()), (None, {"fuse 1"})])
def test_a_sense_wire_is_protected(tmp_path: Path, protection: dict[str, str] | None, rules: set[str]) -> None:
    """A sense wire on a battery's post has its fuse, as any live wire; without one it is a stop."""
    assert told(tmp_path, sensed(protection), "circuits.sense") == rules
