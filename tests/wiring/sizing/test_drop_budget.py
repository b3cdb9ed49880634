"""What feeders leave of the allowed drop: an unknown on the way is an unknown in the sum, never a zero."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from layout.wiring.sizing import drop_budget
from layout.wiring.wire import wire
from tests.wiring.faulty import part, plain


@pytest.mark.parametrize("feeder", ["lead", "feed", "back", "home"])
def test_unknown_feeder_makes_the_cumulative_drop_unknown(feeder: str) -> None:
    """One feeder without a length, live or return, and no circuit behind it has a drop from the battery."""
    (known,) = [run for run in wire(plain(), None).runs if run.key.startswith("circuits.c1")]
    assert known.cumulative_v > 0
    made = part(plain(), "feeders", feeder, length=None, to=plain().feeders[feeder].to)
    made = (
        part(made, "supplies", "bank", location=None)
        if feeder in ("lead", "home")
        else part(made, "breaker_panels", "dc", location=None)
    )
    runs = [run for run in wire(made, None).runs if run.key.startswith("circuits.c1")]
    assert [run.cumulative_v for run in runs] == [None]


@pytest.mark.parametrize(
    ("paths", "volts"),
    [
        ([(["a", "b"], 1.0)], 0.8),  # b takes 0.2 V of 1 V
        ([(["a", "a", "b"], 1.0)], 0.4),  # there and back over a: half of it each time
        ([(["a", "b"], 1.0), (["a", "b"], 0.5)], 0.3),  # the tighter of two ways
        ([(["b"], 0.1)], None),  # a is on no way
        ([(["a", "unknown"], 1.0)], None),
    ],
)
def test_what_the_others_leave_to_a_feeder(
    monkeypatch: pytest.MonkeyPatch, paths: list[tuple[list[str], float]], volts: float | None
) -> None:
    """A feeder may drop what all other feeders of its ways leave; nothing can be said where one of them is unknown."""
    plans: dict[str, Any] = {key: SimpleNamespace(key=key, conductors=1) for key in ("a", "b", "unknown")}
    drops = {"a": 0.7, "b": 0.2, "unknown": None}
    monkeypatch.setattr(drop_budget, "_own_drop_v", lambda plan: drops[plan.key])
    assert drop_budget.spare_share_v("a", paths, plans) == (None if volts is None else pytest.approx(volts))


@pytest.mark.parametrize(
    ("total_mm", "amps", "expected"),
    [(4000.0, 9.0, 12000.0), (4000.0, None, 4000.0), (4000.0, 0.0, 400.0), (None, 9.0, 0.0)],
)
def test_weight_is_length_times_the_root_of_the_current(
    total_mm: float | None, amps: float | None, expected: float
) -> None:
    """An unknown current weighs as 1 A, none as 0.01 A; an unknown length takes no share."""
    plan: Any = SimpleNamespace(current=SimpleNamespace(current_a=amps), length=SimpleNamespace(total_mm=total_mm))
    assert drop_budget.weight(plan) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("before_v", "expected"),
    [(0.2, {"a": 0.12, "b": 0.04}), (0.4, {"a": -0.03, "b": -0.01}), (None, {})],
)
def test_a_circuit_shares_out_what_its_feeders_leave(before_v: float | None, expected: dict[str, float]) -> None:
    """Of 0.36 V, in the ratio 3 to 1 (9 A and 1 A over one length); nothing is shared out of an unknown."""
    plans: dict[str, Any] = {
        key: SimpleNamespace(current=SimpleNamespace(current_a=amps), length=SimpleNamespace(total_mm=1000.0))
        for key, amps in (("a", 9.0), ("b", 1.0))
    }
    steps = [SimpleNamespace(segment="a"), SimpleNamespace(segment="b")]
    chain: Any = SimpleNamespace(source_node="from", return_node="to", steps=steps)
    upstream: Any = SimpleNamespace(worst=lambda *_: (before_v, "", "bank"))
    assert drop_budget.chain_shares([chain], plans, upstream, 0.36) == pytest.approx(expected)
