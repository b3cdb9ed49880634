"""How many small wrong changes of the safety core its tests notice: ``python -m tests.mutation --help``.

One comparison, condition, sum, product, ``and``/``or``, ``min``/``max``, returned value or number (by 1 or 1 %) is
changed at a time, and the tests that walk over it are run. What is drawn is drawn with a seed, so that a run repeats.
Changes that no test can notice stand in ``left.yaml``, each with its reason; others that went unnoticed are printed.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import yaml

from tests.mutation.trying import CUT_OFF, NOT_WALKED, NOTICED, ROOT, Tried, every_change, try_changes

if TYPE_CHECKING:
    from tests.mutation.changes import Change

AREAS = {
    "standards": (("layout/standards/*.py",), ("tests/standards",)),
    "sizing": (("layout/wiring/sizing/*.py",), ("tests/wiring/sizing", "tests/wiring/laws", "tests/wiring")),
    "protection": (
        ("layout/wiring/protection/*.py", "layout/wiring/checks/protection.py"),
        ("tests/wiring/protection", "tests/wiring/checks", "tests/wiring/test_trade_rules.py"),
    ),
    "laws": (("layout/wiring/laws/*.py",), ("tests/wiring/laws",)),
    "judge": (("layout/placing/judge/*.py",), ("tests/placing/judge", "tests/placing/test_rule_table.py")),
    "tiling": (
        ("layout/drawing/template/tile_*.py", "layout/drawing/template/seam_places.py"),
        ("tests/drawing/template",),
    ),
    "numbering": (("layout/wiring/schedule/numbering.py",), ("tests/wiring/schedule",)),
}
"""Each part of the safety core: its modules, and the tests that have to notice."""
LEFT = Path(__file__).with_name("left.yaml")
LEAST = 0.95


def excused() -> dict[tuple[str, str], str]:
    """Return the changes that no test can notice, by module and name, each with its reason."""
    entries = yaml.safe_load(LEFT.read_text(encoding="utf-8")) or {}
    return {(module, name): reason for module, names in entries.items() for name, reason in names.items()}


def modules_of(area: str, only: str) -> list[str]:
    """Return the modules of an area whose path holds a text."""
    every = {str(path.relative_to(ROOT)) for pattern in AREAS[area][0] for path in ROOT.glob(pattern)}
    return sorted(module for module in every if only in module)


def main() -> int:
    """Try changes and print the table; 1 where less than the asked share was noticed."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("areas", nargs="*", help=f"all if left out: {', '.join(AREAS)}")
    ask.add_argument("--sample", type=int, default=0, help="how many changes of each area; all if left out")
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--only", default="", help="part of a module's path")
    ask.add_argument("--jobs", type=int, default=1)
    ask.add_argument("--least", type=float, default=LEAST, help="share of each area that must be noticed, 0 to 1")
    given = ask.parse_args()
    reasons = excused()
    rows, low = [], False
    for area in given.areas or AREAS:
        every = every_change(modules_of(area, given.only))
        drawn = every
        if given.sample and given.sample < len(every):
            drawn = random.Random(given.seed).sample(every, given.sample)
        if not drawn:
            continue
        tried = try_changes(drawn, AREAS[area][1], jobs=given.jobs, say=lambda tried: _say(tried, reasons))
        count = Counter(_kind(one, reasons) for one in tried)
        can = len(tried) - count["excused"]
        told = count["noticed"] + count["cut off"]
        low |= told < given.least * can
        figures = (len(every), len(tried), count["noticed"], count["cut off"], count["excused"])
        rows.append(f"| {area} | {' | '.join(map(str, figures))} | {f'{told / can:.1%}' if can else '-'} |")
    print("| part | changes there are | tried | noticed | never end | nobody can notice | share told of the others |")
    print("|---|---|---|---|---|---|---|")
    print("\n".join(rows))
    return int(low)


def _kind(tried: Tried, reasons: dict[tuple[str, str], str]) -> str:
    if tried.outcome in (NOTICED, CUT_OFF):
        return "noticed" if tried.outcome == NOTICED else "cut off"
    return "excused" if _key(tried.change) in reasons else "unnoticed"


def _key(change: Change) -> tuple[str, str]:
    return change.module, change.name


def _say(tried: Tried, reasons: dict[tuple[str, str], str]) -> None:
    change = tried.change
    where = f"{change.module}:{change.line}"
    if tried.outcome in (NOTICED, CUT_OFF) and _key(change) in reasons:
        print(f"{where}: noticed, although left.yaml says that nobody can: {change.name}", flush=True)
    elif _kind(tried, reasons) == "unnoticed":
        print(f"{where}: {'not walked' if tried.outcome == NOT_WALKED else 'not noticed'}: {change.name}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
