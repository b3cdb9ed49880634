"""For every way to break a rule: an instance that breaks it by little, and its just-legal twin."""

from tests.placing.judge.builder import Twin
from tests.placing.judge.cases.faces import face_cases
from tests.placing.judge.cases.old_holes_and_reserved import kept_cases
from tests.placing.judge.cases.pins_and_cut_holes import held_cases
from tests.placing.judge.cases.rear import rear_cases
from tests.placing.judge.cases.relations import relation_cases
from tests.placing.judge.cases.sheet_layer import sheet_cases
from tests.placing.judge.cases.swing import swing_cases
from tests.placing.judge.cases.zones import zone_cases

TWINS: list[Twin] = [
    *face_cases(),
    *sheet_cases(),
    *rear_cases(),
    *zone_cases(),
    *swing_cases(),
    *kept_cases(),
    *relation_cases(),
    *held_cases(),
]
