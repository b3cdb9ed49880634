"""The judge catches every broken rule of the table, and passes what only just keeps it."""

from __future__ import annotations

import re

import pytest

from layout.findings.table import rules
from layout.placing.judge import judge, refusals
from layout.placing.rule_table import hard_rules
from tests.placing.judge.builder import Case, case, device
from tests.placing.judge.cases import TWINS

IDS = [f"{rule}: {what}" for what, rule, *_ in TWINS]


@pytest.mark.parametrize(("what", "rule", "code", "bad", "good"), TWINS, ids=IDS)
def test_broken_rule_is_found_and_its_legal_twin_passes(what: str, rule: str, code: str, bad: Case, good: Case) -> None:
    """The instance that breaks a rule gets its finding and no other than named; its twin gets none at all."""
    found = judge(bad.project, bad.arrangement, chosen=bad.chosen)
    assert {finding.rule for finding in found} == set(code.split(", "))
    assert code.split(", ", maxsplit=1)[0] in hard_rules()[rule].findings
    assert judge(good.project, good.arrangement, chosen=good.chosen) == ()


@pytest.mark.parametrize(("what", "rule", "code", "bad", "good"), TWINS, ids=IDS)
def test_finding_stands_alone(what: str, rule: str, code: str, bad: Case, good: Case) -> None:
    """Each finding names its subjects by id, has a remedy, and shows its figures in the message."""
    for finding in judge(bad.project, bad.arrangement, chosen=bad.chosen):
        assert finding.subjects
        assert finding.rule == "panel 37" or finding.remedy
        assert not re.search(r"None|nan|inf\b", finding.message + (finding.remedy or ""))
        if finding.limit is not None and finding.measured is not None:
            assert finding.unit == "mm"


def test_every_row_of_the_table_has_a_case() -> None:
    """Each rule of the table, and each code it is reported by, is broken by some case."""
    tried = {(rule, code.split(", ", maxsplit=1)[0]) for _, rule, code, _, _ in TWINS}
    wanted = {(rule.name, code) for rule in hard_rules().values() for code in rule.findings}
    assert wanted <= tried


def test_every_code_belongs_to_a_rule() -> None:
    """The findings of this part and the table of hard rules name the same codes."""
    named = {code for rule in hard_rules().values() for code in rule.findings}
    assert named == {code for code in rules() if code.startswith("panel ")}


def test_overlap_is_worded_with_its_size_and_a_remedy() -> None:
    """Two faces that overlap say by how much, and which move ends it."""
    made = case([device("a", name="K1"), device("b", name="K2")], {"a": (100, 150), "b": (156.5, 170)})
    face = next(f for f in judge(made.project, made.arrangement) if f.rule == "panel 2")
    assert face.message == "K1 and K2 overlap by 3.5 x 20 mm on Main"
    assert (face.measured, face.limit) == (-3.5, 10.0)
    assert face.remedy == "move K2 right by at least 13.5 mm"
    assert face.subjects == ("devices.a", "devices.b")


def test_same_input_gives_the_same_findings_in_the_same_order() -> None:
    """A second run says the same, word for word."""
    for _, _, _, bad, _ in TWINS[::7]:
        first = judge(bad.project, bad.arrangement, chosen=bad.chosen)
        assert first == judge(bad.project, bad.arrangement, chosen=bad.chosen)


def test_refusals_leave_out_what_no_arrangement_cures() -> None:
    """An unknown depth is found but is no reason to place again; an overlap is."""
    unknown = case([device("a", plug_room=None, behind=())], {"a": (100, 150)})
    assert refusals(judge(unknown.project, unknown.arrangement)) == ()
    overlapping = case([device("a"), device("b")], {"a": (100, 150), "b": (130, 150)})
    assert {f.rule for f in refusals(judge(overlapping.project, overlapping.arrangement))} >= {"panel 2"}
