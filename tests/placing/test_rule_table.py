"""The table of hard rules, and what each limit is in a project and who set it."""

from __future__ import annotations

from dataclasses import fields

from layout.findings import rules as findings
from layout.placing.judge.limits import limits_of
from layout.placing.rule_table import default_mm, effective_rules, hard_rules, rule_mm
from layout.placing.translation.pair_limits import pair_limits
from layout.project.model.panel import Layer
from layout.project.model.rules import ApartRule, Relation, Rules
from tests.placing.projects import device, panel, project

OWN = {"apart", "relations"}
"""Fields of ``rules:`` that are lists and no limits."""


def test_every_row_is_whole() -> None:
    """Each rule says what it is, why, and where its default comes from; a limit has a default that is no guess at 0."""
    for rule in hard_rules().values():
        assert len(rule.says) > 30
        assert rule.why
        assert rule.source
        if rule.limit is not None:
            assert (rule.default_mm or 0) > 0


def test_limits_of_the_table_are_the_fields_of_the_model() -> None:
    """Each limit that a user can set under ``rules:`` belongs to a rule of the table, and the other way round."""
    limits = {rule.limit for rule in hard_rules().values() if rule.limit}
    assert limits == {field.name for field in fields(Rules)} - OWN


def test_effective_rules_say_who_set_them() -> None:
    """A limit is the user's where the project says it, else the default; pairs, devices and relations are listed."""
    one = project(
        device("a", face_gap=25.0),
        device("b"),
        panels=(panel(edge=18.0),),
        rules=Rules(
            hole_gap=14.0,
            apart=(ApartRule(between=("a", "b"), gap=40.0, layer=Layer.REAR, why="hum"),),
            relations=(Relation(row=("a", "b")),),
        ),
    )
    rows = effective_rules(one)
    by_rule = {(row.rule, row.applies): row for row in rows}
    general = {row.rule: row for row in rows[: len(hard_rules())]}
    assert (general["cut-outs-apart"].value_mm, general["cut-outs-apart"].origin) == (14.0, "user")
    assert (general["faces-apart"].value_mm, general["faces-apart"].origin) == (default_mm("face_gap"), "default")
    assert by_rule["faces-apart", "a"].value_mm == 25.0
    assert by_rule["face-in-panel", "main"].value_mm == 18.0
    assert by_rule["bodies-apart", "a and b"].why == "hum"
    assert by_rule["relation", "row: a, b"].origin == "user"
    assert rule_mm(one, "hole_gap") == 14.0


def test_pair_comes_before_class_before_own_gap() -> None:
    """Of gaps, the rule for two devices counts first, then that of their classes, then the larger of their own."""
    a, b = device("a", face_gap=25.0, classes=("ac",)), device("b", classes=("dc",))
    by_class = ApartRule(between=("class:dc", "class:ac"), gap=30.0)
    by_name = ApartRule(between=("b", "a"), gap=3.0)
    assert pair_limits(project(a, b), a, b).gap == 25.0
    assert pair_limits(project(a, b, rules=Rules(apart=(by_class,))), a, b).gap == 30.0
    assert pair_limits(project(a, b, rules=Rules(apart=(by_class, by_name))), a, b).gap == 3.0


def test_of_two_class_rules_for_one_pair_the_larger_holds() -> None:
    """Two rules that both speak of a pair by class: what keeps them further apart counts, for solver and judge."""
    a, b = device("a", classes=("ac", "hot")), device("b", classes=("dc",))
    said = (("ac", 30.0), ("hot", 45.0))
    rules = tuple(ApartRule(between=(f"class:{name}", "class:dc"), gap=gap) for name, gap in said)
    for order in (rules, rules[::-1]):
        one = project(a, b, rules=Rules(apart=order))
        assert pair_limits(one, a, b).gap == 45.0
        assert limits_of(one).face_gap(a, b, ("a", "b")) == 45.0


def test_ac_and_dc_stay_apart_whatever_their_depth() -> None:
    """AC against DC asks its own distance; a device of both classes is neither, and a rule for the two replaces it."""
    ac, dc, both = device("a", classes=("ac",)), device("b", classes=("dc",)), device("c", classes=("ac", "dc"))
    own = ApartRule(between=("a", "b"), gap=20.0, layer=Layer.REAR)
    assert pair_limits(project(ac, dc), ac, dc).any_depth == default_mm("ac_dc")
    assert pair_limits(project(ac, both), ac, both).any_depth is None
    ruled = pair_limits(project(ac, dc, rules=Rules(apart=(own,))), ac, dc)
    assert (ruled.any_depth, ruled.rear) == (None, 20.0)


def test_codes_of_the_solver_stand_in_the_table_of_findings() -> None:
    """Each code that a hard rule is reported by is in the table of findings, and the solver's own begin with SOL."""
    known = set(findings())
    assert {code for rule in hard_rules().values() for code in rule.findings} <= known
    assert {f"fit {n}" for n in range(1, 12)} <= known
