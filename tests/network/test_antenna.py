"""Antenna leads against the worked examples of tests/reference/coax.yaml, and each rule about them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from layout.network.antenna import loss_db, plan_antenna
from layout.project.model.network import AntennaLead
from layout.project.model.wireways import Wireway
from layout.standards import coax
from layout.wiring.circuits.ends import Ends
from tests.conftest import ROOT
from tests.network.make import project

REFERENCE = yaml.safe_load((ROOT / "tests" / "reference" / "coax.yaml").read_text(encoding="utf-8"))
EXAMPLES = {example["id"]: example for example in REFERENCE["worked_examples"]}

GOOD: dict[str, Any] = {
    "radio": "radio",
    "antenna": "mast",
    "cable": "RG-213",
    "frequency": 156.8,
    "connectors": 2,
    "power": 25.0,
    "tightest_bend": 120.0,
}


def plan(metres: float = 10.0, **more: Any):
    """Plan a lead between two places that far apart."""
    lead = AntennaLead(id="a", name="lead", **{**GOOD, **more})
    return plan_antenna(Ends(project([("p", "q", metres)], {"radio": "p", "mast": "q"}), None), lead)


@pytest.mark.parametrize("name", ["cx-ref-1", "cx-ref-2"])
def test_worked_examples(name):
    """The published attenuation over the length with its connections gives the worked loss and power."""
    given_, answer = EXAMPLES[name]["given"], EXAMPLES[name]["answer"]
    loss = loss_db(
        db_per_100m=given_["db_per_100m"],
        length_mm=1000 * given_["length_m"],
        connectors=given_["connectors"],
        connector_db=coax.connector_loss_db(),
    )
    assert loss == pytest.approx(answer["loss_db"], abs=5e-4)
    assert given_["tx_W"] * coax.share_of_power(loss) == pytest.approx(answer["delivered_W"], abs=5e-3)
    assert (loss <= coax.most_loss_db()) is answer["ok_3db"]


def test_worked_longest_lead():
    """At the worked greatest length the loss is the limit."""
    given_, answer = EXAMPLES["cx-ref-3"]["given"], EXAMPLES["cx-ref-3"]["answer"]
    length = 1000 * answer["max_length_m"]
    loss = loss_db(db_per_100m=given_["db_per_100m"], length_mm=length, connectors=0, connector_db=0.25)
    assert loss == pytest.approx(given_["limit_db"], abs=1e-3)


def test_makers_figure_gives_the_worked_example():
    """A whole lead with the maker's attenuation and a given length comes to the worked example."""
    given_, answer = EXAMPLES["cx-ref-2"]["given"], EXAMPLES["cx-ref-2"]["answer"]
    found = plan(attenuation=given_["db_per_100m"], length=1000.0 * given_["length_m"])
    assert found.loss_db == pytest.approx(answer["loss_db"], abs=5e-4)
    assert found.radiated_w == pytest.approx(answer["delivered_W"], abs=5e-3)


def test_sound_lead():
    """A short lead of good cable has no finding, and its length carries ends and slack."""
    found = plan()
    assert found.findings == ()
    assert found.length_mm == pytest.approx((10_000 + 2 * 150) * 1.05)


CASES = {
    "too long for thin cable": ("bus 60", {"metres": 20.0, "cable": "RG-58"}),
    "less radiated than asked": ("bus 60", {"least_share": 0.8}),
    "cable not in the table": ("bus 63", {"cable": "XY-9", "outer_diameter": 7.0}),
    "connections not stated": ("bus 62", {"connectors": None}),
    "75 ohm on a 50 ohm radio": ("bus 64", {"cable": "RG-59"}),
    "bend too tight": ("bus 65", {"tightest_bend": 30.0}),
    "frequency out of the table": ("bus 67", {"frequency": 2400.0}),
    "bend not stated": ("bus 68", {"tightest_bend": None}),
}


@pytest.mark.parametrize(("rule", "more"), CASES.values(), ids=CASES)
def test_rule_catches(rule, more):
    """A lead that breaks a rule is found by it, and by it alone."""
    assert {finding.rule for finding in plan(**more).findings} == {rule}


def test_length_unknown():
    """A lead with no way between its ends has no length, no loss, and a finding."""
    lead = AntennaLead(id="a", **GOOD)
    found = plan_antenna(Ends(project([("p", "q", 1.0), ("r", "s", 1.0)], {"radio": "p", "mast": "s"}), None), lead)
    assert found.loss_db is None
    assert found.share is None
    assert "bus 61" in {finding.rule for finding in found.findings}


def test_beside_ac():
    """A lead in a wireway that carries AC is found, unless the wireway has compartments."""
    made = project([("p", "q", 10.0)], {"radio": "p", "mast": "q"})
    lead = AntennaLead(id="a", **GOOD)
    for apart, rules in ((False, {"bus 66"}), (True, set())):
        trunk = Wireway(
            id="w0", from_="p", to="q", kind="trunk", length=10_000.0, carries=("ac", "antenna"), compartments=apart
        )
        found = plan_antenna(Ends(replace(made, wireways={"w0": trunk}), None), lead)
        assert {finding.rule for finding in found.findings} == rules


@pytest.mark.parametrize(("length_mm", "rules"), [(9_900.0, ["bus 69"]), (10_000.0, []), (14_000.0, [])])
def test_a_lead_reaches_along_its_way(length_mm, rules):
    """9.9 m do not reach through 10 m of wireway, 10 m do."""
    assert [f.rule for f in plan(10.0, length=length_mm).findings if f.rule == "bus 69"] == rules


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"attenuation": 3.0}, ["3 dB per 100 m are said of RG-213; the table has"]),
        ({"attenuation": 9.0}, []),
        ({"limit": 6.0}, ["a loss of 6.00 dB is allowed; 3 dB are usual"]),
        ({"limit": 3.0}, []),
        ({"least_share": 0.25}, ["a loss of 6.02 dB is allowed"]),
        ({"least_share": 0.6}, []),
        ({"connectors": 0}, ["0 connections are said; a lead has 2 ends"]),
        ({"connectors": 2}, []),
        ({"connector_loss": 0.0}, ["a connection is said to lose 0 dB"]),
        ({"connector_loss": 0.5}, []),
    ],
)
def test_the_owners_word_is_kept_and_said(more, words):
    """A value that makes the lead look better than the tables is named; one that does not is silent."""
    told = [f.message for f in plan(**more).findings if f.rule == "bus 70"]
    assert len(told) == len(words)
    assert all(word in message for word, message in zip(words, told, strict=True))


def test_advice_names_a_cable_that_is_enough():
    """The remedy names the next kind that keeps the limit, and what it would lose."""
    found = plan(20.0, cable="RG-58")
    remedy = next(f.remedy for f in found.findings if f.rule == "bus 60")
    named = remedy.split()[1].rstrip(":")
    better = {choice.cable: choice for choice in found.better}
    assert better[named].loss_db <= found.limit_db < found.loss_db


@given(metres=st.floats(1, 40), more=st.floats(0.1, 10))
def test_longer_never_loses_less(metres, more):
    """A longer lead never radiates more."""
    assert plan(metres + more).loss_db > plan(metres).loss_db


@given(db=st.floats(0, 30))
def test_share_and_loss_are_inverse(db):
    """The loss of the share of a loss is that loss."""
    assert coax.loss_of_share_db(coax.share_of_power(db)) == pytest.approx(db, abs=1e-9)
