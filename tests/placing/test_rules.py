"""The table of hard rules and what it comes to in a project."""

from __future__ import annotations

from dataclasses import fields

import pytest

from layout.findings.table import rules
from layout.placing.rules import default_mm, effective_rules, hard_rules, limit_mm
from layout.project.model.panel import Layer
from layout.project.model.rules import ApartRule, Relation, Rules
from tests.placing.judge.builder import case, device

LAYERS = {"front", "sheet", "rear"}


@pytest.mark.parametrize("name", list(hard_rules()))
def test_row_is_whole(name: str) -> None:
    """Each row has its layers, its words, a known limit field with a default, and codes that exist."""
    row = hard_rules()[name]
    assert set(row.layer.split(", ")) <= LAYERS
    assert all((row.applies, row.says, row.why, row.source, row.findings))
    assert set(row.findings) <= set(rules())
    if row.limit is not None:
        assert row.limit in {field.name for field in fields(Rules)}
        assert row.default_mm == default_mm(row.limit)


def test_every_limit_of_the_project_has_a_row() -> None:
    """No field of `rules:` is read by nobody: each is the limit of some row, but for pairs and relations."""
    limits = {row.limit for row in hard_rules().values()}
    assert {field.name for field in fields(Rules)} - {"apart", "relations"} <= limits


def test_user_value_replaces_the_default() -> None:
    """What the project says counts, 0 too; else the table's default does."""
    made = case([device("a")], {}, web=0.0)
    assert (limit_mm(made.project, "web"), limit_mm(made.project, "gap")) == (0.0, default_mm("gap"))
    with pytest.raises(KeyError):
        default_mm("gape")


def test_effective_rules_say_who_set_each() -> None:
    """A general limit, a device's own, a pair's and a relation each appear with their origin."""
    made = case(
        [device("a", gap=25.0), device("b")],
        {},
        edge=12.0,
        apart=(ApartRule(between=("a", "b"), gap=40.0, layer=Layer.REAR, why="heat"),),
        relations=(Relation(row=("a", "b"), why="looks"),),
    )
    rows = effective_rules(made.project)
    by = {(row.rule, row.applies): row for row in rows}
    assert by["face-in-panel", hard_rules()["face-in-panel"].applies].origin == "user"
    assert by["cut-outs-apart", hard_rules()["cut-outs-apart"].applies].origin == "default"
    assert by["faces-apart", "a"].value_mm == 25.0
    assert by["bodies-apart", "a and b"].why == "heat"
    assert by["relation", "row: a, b"].why == "looks"
