"""What stays live with every battery switch open, held against a walk over random systems."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from layout.handover.lists.isolation import isolation_tables, still_live
from layout.project.model.supplies import BatterySwitch, BusBar, Supply
from tests.handover.conftest import make_project, make_wiring

OWNERS = ("bank", "sun", "main", "bar", "other_bar", "panel", "lamp")


def system(joins: list[tuple[str, str]]):
    """Return a boat with a bank, a solar supply, a switch, two bars, a panel and a lamp, joined as said."""
    base, wiring = make_project(), make_wiring()
    project = replace(
        base,
        supplies={
            "bank": Supply(id="bank", kind="battery", voltage=12), "sun": Supply(id="sun", kind="solar", voltage=12),
        },
        battery_switches={"main": BatterySwitch(id="main", kind="isolator", voltage=12)},
        bus_bars={key: BusBar(id=key, pole="+") for key in ("bar", "other_bar")},
        breaker_panels={"panel": replace(base.breaker_panels["dc"], id="panel")},
    )  # fmt: skip
    source = wiring.runs[0]
    runs = []
    for number, (start, end) in enumerate(joins):
        wire = source.wires[0]
        wires = (
            replace(
                wire, number=f"{number}+", start=replace(wire.start, owner=start), end=replace(wire.end, owner=end)
            ),
        )
        runs.append(replace(source, key=f"feeders.f{number}", wires=wires))
    return project, replace(wiring, runs=tuple(runs))


@given(st.lists(st.tuples(st.sampled_from(OWNERS), st.sampled_from(OWNERS)), max_size=9))
def test_what_stays_live_is_what_a_plain_closure_reaches(joins):
    """An owner is live from a source exactly if bars alone stand between them."""
    project, wiring = system(joins)
    found = {owner: set(sources) for owner, (sources, _) in still_live(project, wiring).items()}
    wanted: dict[str, set[str]] = {}
    for source in ("bank", "sun"):
        reached = {source}
        while True:
            open_ends = {one for one in reached if one == source or one in ("bar", "other_bar")}
            more = {b for a, b in joins if a in open_ends} | {a for a, b in joins if b in open_ends}
            if more <= reached:
                break
            reached |= more
        for owner in reached - {source}:
            wanted.setdefault(owner, set()).add(source)
    assert found == wanted


def test_a_switch_ends_what_is_live_and_the_sun_keeps_its_bar():
    """Behind the open switch the bank reaches nothing; the bar stays live from the sun, and its panel with it."""
    project, wiring = system([("bank", "main"), ("main", "bar"), ("sun", "bar"), ("bar", "panel")])
    live = still_live(project, wiring)
    assert live["main"][0] == ("bank", "sun")
    assert live["bar"] == (("sun",), ("2+",))
    assert live["panel"][0] == ("sun",)
    steps, stays, dead = isolation_tables(project, wiring)
    assert [row["what"] for row in stays.rows][-1] == "12 V distribution, with all its ways"
    assert [str(row["what"]).split(" (")[0] for row in steps.rows] == ["sun", "main", "bank"]
    assert "main, out" in [row["what"] for row in dead.rows]


def test_nothing_is_said_without_a_supply():
    """A project without a supply has no such page."""
    project, wiring = system([])
    assert isolation_tables(replace(project, supplies={}), wiring) == ()
