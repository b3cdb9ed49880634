"""Values that steps hand on are frozen all the way down, and can be hashed."""

from __future__ import annotations

import copy
import operator
import pickle
from dataclasses import FrozenInstanceError
from typing import TYPE_CHECKING, Any

import pytest

import layout
from layout.frozen import FrozenMap
from tests.conftest import EXAMPLES
from tests.frozen import changeable

if TYPE_CHECKING:
    from collections.abc import Callable

WRITES: dict[str, Callable[[Any], object]] = {
    "an entry": lambda known: operator.setitem(known, "a", 2),
    "a deletion": lambda known: operator.delitem(known, "a"),
    "an update": lambda known: known.update(b=2),
    "a union in place": lambda known: operator.ior(known, {"b": 2}),
    "a default": lambda known: known.setdefault("b", 2),
    "taking one": lambda known: known.pop("a"),
    "taking any": lambda known: known.popitem(),
    "clearing": lambda known: known.clear(),
}


@pytest.mark.parametrize("write", WRITES.values(), ids=WRITES)
def test_writing_to_a_frozen_mapping_raises(write: Callable[[Any], object]) -> None:
    """Every way to write to a mapping is refused, and leaves it as it was."""
    known = FrozenMap({"a": 1})
    with pytest.raises(TypeError, match="a frozen mapping can't be changed"):
        write(known)
    assert known == {"a": 1}


def test_equal_mappings_have_one_hash() -> None:
    """Order takes no part in equality and hash; copies and pickles are equal, frozen and in the same order."""
    known = FrozenMap({"b": (1,), "a": FrozenMap({"x": 2.0})})
    assert hash(known) == hash(FrozenMap(reversed(known.items())))
    for twin in (copy.copy(known), copy.deepcopy(known), pickle.loads(pickle.dumps(known))):
        assert (type(twin), list(twin.items())) == (FrozenMap, list(known.items()))


def test_a_project_and_its_plan_are_frozen_and_hashable() -> None:
    """Nothing in what reading and planning give can be written to; equal ones have equal hashes."""
    path = EXAMPLES / "launch" / "launch.yaml"
    readings = [layout.read(path) for _ in range(2)]
    plans = [layout.plan(reading.project, None, found=reading.findings) for reading in readings if reading.project]
    assert list(changeable(readings[0], "reading")) == []
    assert list(changeable(plans[0], "plan")) == []
    assert len({hash(reading) for reading in readings}) == 1
    assert len({hash(plan) for plan in plans}) == 1
    project = plans[0].project
    with pytest.raises(TypeError):
        project.devices["radio"] = None  # type: ignore[index]
    with pytest.raises(FrozenInstanceError):
        project.devices["radio"].name = "other"  # type: ignore[misc]
