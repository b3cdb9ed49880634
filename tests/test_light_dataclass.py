"""Classes declared light behave as the library's own do."""

from __future__ import annotations

import copy
import dataclasses
import pickle
import subprocess
import sys
from typing import Any

import pytest

from layout.light_dataclass import dataclass
from tests.conftest import ROOT

KINDS = [
    {"frozen": True, "slots": True, "kw_only": True},
    {"frozen": True, "slots": True},
    {"frozen": True},
    {"slots": True},
    {"frozen": True, "slots": True, "eq": False},
    {"frozen": True, "slots": True, "order": True},
]


def pair(**kind: bool) -> tuple[type, type]:
    """Return one class declared by each decorator."""

    def declared() -> type:
        class Cable:
            """A cable."""

            area_mm2: float
            cores: int = 2
            marks: list[str] = dataclasses.field(default_factory=list, compare=False)

            def __post_init__(self) -> None:
                if self.area_mm2 <= 0:
                    raise ValueError("no copper")

        return Cable

    return dataclass(**kind)(declared()), dataclasses.dataclass(**kind)(declared())


@pytest.mark.parametrize("kind", KINDS, ids=" ".join)
def test_both_behave_alike(kind: dict[str, bool]) -> None:
    """Values, words, comparisons, hashes, refusals and copies are those of the library's class."""
    told = []
    for cable in pair(**kind):
        thin, thick = cable(area_mm2=1.5), cable(area_mm2=6, cores=3)
        row: list[Any] = [
            repr(thin),
            thin == cable(area_mm2=1.5),
            thin == thick,
            thin != thick,
            dataclasses.asdict(thick),
        ]
        row += [dataclasses.replace(thin, cores=4).cores, copy.copy(thick).area_mm2, copy.deepcopy(thick).marks]
        row += [cable.__match_args__, repr(cable.__dataclass_params__.frozen), hasattr(thin, "__dict__")]
        for deed in (
            lambda cable=cable: cable(area_mm2=0),
            cable,
            lambda cable=cable: cable(1.5),
            lambda thin=thin: setattr(thin, "cores", 3),
            lambda thin=thin: delattr(thin, "cores"),
            lambda thin=thin, thick=thick: thin < thick,
            lambda thin=thin, cable=cable: hash(thin) == hash(cable(area_mm2=1.5)),
        ):
            try:
                row.append(repr(deed()))
            except (TypeError, ValueError, AttributeError) as error:
                row += [type(error), str(error)]
        told.append(row)
    assert told[0] == told[1]


@dataclass(frozen=True, slots=True)
class Lug:
    """A lug with its own comparison."""

    bolt_mm: float
    name: str = ""

    def __eq__(self, other: object) -> bool:
        """Compare bolts."""
        return isinstance(other, Lug) and self.bolt_mm == other.bolt_mm

    def __hash__(self) -> int:
        """Hash the bolt."""
        return hash(self.bolt_mm)


@dataclass(frozen=True, slots=True)
class LongLug(Lug):
    """A lug with a length."""

    length_mm: float = 0.0


def test_own_methods_stay_and_a_subclass_adds_its_fields() -> None:
    """What a class writes itself is not replaced; a value that was sent comes back equal."""
    assert Lug(8, "a") == Lug(8, "b")
    assert hash(Lug(8, "a")) == hash(Lug(8, "b"))
    assert repr(LongLug(8, "a", 30)) == "LongLug(bolt_mm=8, name='a', length_mm=30)"
    assert LongLug(8, length_mm=30) != LongLug(8, length_mm=40)
    assert pickle.loads(pickle.dumps(LongLug(8, "a", 30))) == LongLug(8, "a", 30)
    assert pickle.loads(pickle.dumps(Lug(8, "a"))).name == "a"


def test_a_value_that_comes_from_another_process_can_be_compared_at_once() -> None:
    """Nothing needs to have been made here of a class before one of its values arrives."""
    code = f"import pickle; lug = pickle.loads({pickle.dumps(Lug(8, 'a'))!r}); print(lug == lug, hash(lug), lug)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "True 8 Lug(bolt_mm=8, name='a')\n"
