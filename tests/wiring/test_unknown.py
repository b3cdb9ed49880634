"""Half the facts missing: whatever the launch leaves out, there is a schedule and no unknown passes as zero."""

from __future__ import annotations

from dataclasses import fields, replace

from hypothesis import given
from hypothesis import strategies as st

from layout.project.reading.read import read
from layout.wiring.wire import wire
from tests.conftest import EXAMPLES
from tests.wiring.arranged import spread_out

LAUNCH = read(EXAMPLES / "launch" / "launch.yaml").project
SPREAD = spread_out(LAUNCH)
DROPPABLE = ("feeders", "circuits", "wireways", "switch_states", "cables")
BLANKABLE = (
    "supplies",
    "battery_switches",
    "bus_bars",
    "feeders",
    "breaker_panels",
    "circuits",
    "cables",
    "wireways",
    "devices",
)
KEEP = {
    "id",
    "kind",
    "voltage",
    "from_",
    "to",
    "poles",
    "purpose",
    "legs",
    "insulation",
    "ways",
    "positions",
    "face",
    "location",
    "panel",
    "length",
}


def optional(entry):
    """Return the names of fields that may be left out: those that are None-able and given."""
    return [
        f.name for f in fields(entry) if f.name not in KEEP and f.default is None and getattr(entry, f.name) is not None
    ]


@st.composite
def holes(draw):
    """Draw a launch with entries gone and facts unknown."""
    project = LAUNCH
    for section in draw(st.lists(st.sampled_from(DROPPABLE), max_size=2, unique=True)):
        entries = dict(getattr(project, section))
        for key in draw(st.lists(st.sampled_from(sorted(entries)), max_size=4, unique=True)):
            del entries[key]
        project = replace(project, **{section: entries})
    for section in draw(st.lists(st.sampled_from(BLANKABLE), min_size=1, max_size=5, unique=True)):
        entries = dict(getattr(project, section))
        for key in draw(st.lists(st.sampled_from(sorted(entries)), max_size=6, unique=True)) if entries else ():
            names = optional(entries[key])
            if names:
                entries[key] = replace(entries[key], **{draw(st.sampled_from(names)): None})
        project = replace(project, **{section: entries})
    return project


@given(holes(), st.booleans())
def test_there_is_always_a_schedule(project, placed):
    """No hole in the facts stops the work; every blank in a power run has an error that concerns its owner."""
    result = wire(project, SPREAD if placed else None)
    named = {subject for finding in result.findings for subject in finding.subjects}
    for run in result.runs:
        if run.run_class in ("dc", "ac") and not run.cranking:
            owner = f"{run.owner_kind}s.{run.owner}"
            if run.size is None or run.length.total_mm is None:
                assert owner in named or {f"circuits.{c}" for c in project.circuits} & named, run.key
        for one in run.wires:
            if one.drop_v == 0.0:
                assert one.current_a == 0.0 or run.length.total_mm == 0.0


def test_unplaced_is_not_zero_long():
    """Without an arrangement nothing on a panel has a length."""
    result = wire(LAUNCH, None)
    on_panel = {key for key, device in LAUNCH.devices.items() if device.panel}
    for run in result.runs:
        owners = {end.owner for one in run.wires for end in (one.start, one.end)}
        devices = {getattr(LAUNCH.breaker_panels.get(o) or LAUNCH.bus_bars.get(o), "device", o) for o in owners}
        if devices & on_panel and not run.length.fixed:
            assert run.length.total_mm is None


def test_a_conduit_of_unknown_length_is_no_short_cut():
    """A run goes by ways that were measured; where there is none its length is unknown, and an error says whose."""
    ways = dict(LAUNCH.wireways)
    ways["cabin_dc"] = replace(ways["cabin_dc"], length=None)
    project = replace(LAUNCH, wireways=ways)
    result = wire(project, SPREAD)
    assert result.run("circuits.cabin_aft").length.total_mm is None
    found = [f.message for f in result.findings if f.rule == "wire 2" and f.message.startswith("Cabin lights aft")]
    assert found == ["Cabin lights aft: the length of Cabin conduit is not known, and so is the run's"]
    ways["beside"] = replace(ways["cabin_dc"], id="beside", length=9000.0)
    round_about = wire(replace(project, wireways=ways), SPREAD)
    assert "beside" in round_about.run("circuits.cabin_aft").route
