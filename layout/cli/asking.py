"""What tracing has to know: given as options, else asked for where a person sits at the terminal."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import typer

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.cli.voice import Voice
    from layout.trace.scan import Known

QUESTIONS = {
    "photograph": (
        ("what", "What is traced: outline, cutout or no_go?"),
        ("above", "How many mm does its edge stand above the marks (below: -12; not known: empty)?"),
        ("tape", "Taped distance between the crosses of two sheets, like 1-3=1184 (not measured: empty)?"),
    ),
    "scan": (
        ("what", "What is traced: outline, cutout or no_go?"),
        ("across", "Its printed width in mm (not known: empty)?"),
        ("up", "Its printed height in mm (not known: empty)?"),
    ),
    "drawing": (
        ("what", "What is traced: outline, cutout or no_go?"),
        ("across", "Known width of the largest shape in mm (not known: empty)?"),
    ),
}
"""At most three questions for each kind of picture."""
_POINTS = re.compile(r"([\d.]+),([\d.]+):([\d.]+),([\d.]+)=(.+)")
_TAPE = re.compile(r"\s*(\d+)\s*-\s*(\d+)\s*=\s*(.+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What was given or answered, as text; empty is not known."""

    what: str = ""
    above: str = ""
    tape: str = ""
    across: str = ""
    up: str = ""
    inside: str = ""
    above_mm: float | None = None
    taped: tuple[int, int, float] | None = None
    across_known: Known | None = None
    up_known: Known | None = None
    inside_px: tuple[float, float] | None = None


def answered(voice: Voice, kind: str, given: Answers) -> Answers:
    """Return the answers as numbers; end with code 2 where one can't be read."""
    if sys.stdin.isatty() and not (voice.as_json or voice.quiet):
        for key, question in QUESTIONS[kind]:
            if not getattr(given, key):
                given = replace(given, **{key: typer.prompt(question, default="", show_default=False).strip()})
    return replace(
        given,
        above_mm=_length(voice, "--above", given.above) if given.above else None,
        taped=_taped(voice, given.tape),
        across_known=_known(voice, "--across", given.across),
        up_known=_known(voice, "--up", given.up),
        inside_px=_pixel(voice, given.inside),
    )


def _length(voice: Voice, option: str, text: str) -> float:
    from layout.quantity import QuantityError, parse

    try:
        return parse(text, "length", bare=True)
    except QuantityError as error:
        voice.refuse(f"{option}: {error}")


def _taped(voice: Voice, text: str) -> tuple[int, int, float] | None:
    if not text:
        return None
    match = _TAPE.fullmatch(text)
    if match is None:
        voice.refuse(f"--tape: '{text}' names no two sheets", remedy="write --tape 1-3=1184: from sheet 1 to 3, in mm")
    return int(match[1]), int(match[2]), _length(voice, "--tape", match[3])


def _known(voice: Voice, option: str, text: str) -> Known | None:
    from layout.trace.result import TraceError
    from layout.trace.scan import Known

    if not text:
        return None
    match = _POINTS.fullmatch(text.replace(" ", ""))
    ends = ((float(match[1]), float(match[2])), (float(match[3]), float(match[4]))) if match else None
    length = match[5] if match else text
    try:
        return Known(length_mm=_length(voice, option, length), ends_px=ends)
    except TraceError as error:
        voice.refuse(f"{option}: {error.message}", remedy=error.remedy)


def _pixel(voice: Voice, text: str) -> tuple[float, float] | None:
    if not text:
        return None
    try:
        x, y = (float(part) for part in text.split(","))
    except ValueError:
        voice.refuse(f"--inside: '{text}' is no pixel", remedy="write --inside 820,460: across, then down")
    return x, y
