"""Footnotes of the schedule: which table and which reading stand behind a run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards.ampacity import CFR_NAME, ISO_NAME
from layout.standards.conductors import LAY_FACTOR, TINNED_FACTOR, Series
from layout.standards.tables import Practice
from layout.wiring.sizing.conductor_size import Criterion

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.project.model.project import Project
    from layout.wiring.laws.owners_word import OwnersWord
    from layout.wiring.sizing.sized_segment import SizedSegment

GAUGE_OHM = (
    f"Its copper: 0.01724 ohm mm²/m at 20 °C, {LAY_FACTOR:g} times that for the lay, {TINNED_FACTOR:g} times more "
    "where tinned."
)
TEXTS = {
    "drop iso": "Drop by ISO 10133 Annex A (E = 0.0164 I L / S) and by IEC 60228 resistance at {t:g} °C; the worse "
    "is shown.",
    "drop abyc": "Drop by ABYC E-11 (CM = 10.75 I L / E) and by the copper's resistance at {t:g} °C; the worse "
    "is shown.",
    "iso": f"Ampacity by {ISO_NAME}, 60 °C in hot spaces, bundling factors 1.0 / 0.7 / 0.6 / 0.5 from 1 / 4 / 7 / 25 "
    "conductors. The table is from memory and UNVERIFIED: each value was held against "
    f"{CFR_NAME} at equal area and insulation, and the lower one counts.",
    "memory": f"Size governed by a value of {ISO_NAME} that is from memory: check it against the standard.",
    "cfr in iso": f"{CFR_NAME} at equal area gave less than {ISO_NAME} and counts here.",
    "cfr": f"Ampacity by {CFR_NAME} (= ABYC E-11), 50 °C in hot spaces, bundling factors 1.0 / 0.7 / 0.6 / 0.5 / 0.4 "
    "from 1 / 3 / 4 / 7 / 25 conductors.",
    "bundle off": "Bundling counted only from 50 V on: one published reading of the rule, chosen in this project.",
    "bundle on": "Bundling counted at every voltage; another published reading asks for it only from 50 V.",
    "sae": "Gauge cable counted with the thinner SAE areas (J378, J1128), which is safe for both kinds sold. "
    + GAUGE_OHM,
    "awg": "Gauge cable counted with the areas of ASTM B258: SAE cable of the same number is 6 to 12 % thinner. "
    + GAUGE_OHM,
    "typical": "No cable kind declared: outer diameter typical, from memory, to be confirmed by the maker's figure.",
    "guessed": "Terminal not declared: length taken from the device's centre plus half its face.",
    "existing": "Already aboard, kept as it is.",
    "cranking": "Engine starting conductor: exempt from overcurrent protection in both practices.",
}
"""Footnote texts by what they are about."""


def note_keys(project: Project, plan: SizedSegment, words: Iterable[OwnersWord], *, guessed: bool) -> tuple[str, ...]:
    """Return what the schedule must say about one run; of the owner's words their keys in the file."""
    practice = Practice(project.wiring.practice)
    found: list[str] = []
    if plan.sizing is not None:
        found += [f"drop {practice.value}", "cfr" if practice is Practice.ABYC else "iso"]
        bears = plan.sizing.verdict.ampacity
        if practice is Practice.ISO and bears is not None and bears.table == CFR_NAME:
            found.append("cfr in iso")
        if governed_by_memory(plan):
            found.append("memory")
        found.append("bundle on" if project.wiring.bundling == "all" else "bundle off")
    if plan.size is not None and plan.size.gauge is not None:
        counted = plan.size.series is Series.AWG and project.wiring.wire_sizes == "awg"
        found.append("awg" if counted else "sae")
    if plan.kind is None and plan.segment.laid is None:
        found.append("typical")
    if guessed:
        found.append("guessed")
    if plan.segment.aboard == "keep":
        found.append("existing")
    if plan.segment.cranking:
        found.append("cranking")
    found += [word.key for word in words if word.bears(plan)]
    return tuple(found)


def governed_by_memory(plan: SizedSegment) -> bool:
    """Tell whether a value that is only from memory decides the size, or what stands in for it above the last row."""
    if plan.sizing is None or plan.sizing.verdict.ampacity is None:
        return False
    by_current = plan.sizing.governing in (Criterion.AMPACITY, Criterion.PROTECTION)
    bears = plan.sizing.verdict.ampacity
    return by_current and not plan.segment.cranking and (bears.governed_by_memory or bears.of_last_row)


def footnotes(
    used: list[tuple[str, ...]], words: Iterable[OwnersWord], *, temperature_c: float
) -> tuple[dict[str, str], dict[str, str]]:
    """Return number by what a note is about, and text by number: those of ``TEXTS``, then the owner's words."""
    texts = {key: text.format(t=temperature_c) for key, text in TEXTS.items()} | {word.key: word.text for word in words}
    wanted = {key for keys in used for key in keys}
    numbers = {key: str(at) for at, key in enumerate((key for key in texts if key in wanted), start=1)}
    return numbers, {number: texts[key] for key, number in numbers.items()}
