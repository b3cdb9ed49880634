"""``spile rules``: every limit, its value and where it comes from; or what one code of a finding means."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from layout.cli.options import AsJson, InLanguage, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice
from layout.languages import Said, in_language

FileOrCode = Annotated[
    str, typer.Argument(metavar="FILE", help='The project\'s YAML file, or a code: "fuse 8".', show_default=False)
]


def rules(file: FileOrCode, language: InLanguage = None, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Show every limit of placing, or what a code means.

    Example: spile rules panel.yaml
    Example: spile rules "fuse 8"
    Example: spile rules "fuse 8" --language de
    """
    from layout.findings import AREAS

    voice = Voice(as_json=as_json, quiet=quiet)
    voice.speak(language)
    word, _, number = " ".join(file.lower().split()).partition(" ")
    if word in AREAS and number.isdigit() and not Path(file).exists():
        _code(voice, f"{word} {int(number)}")
    _limits(voice, Path(file), language)


def _code(voice: Voice, code: str) -> None:
    from layout.findings import Finding, area, meanings, mends, retired, rules

    if code in retired():
        gone = retired()[code]
        voice.data["rule"] = {"code": code, "name": gone.name, "retired": True, "instead": gone.instead}
        voice.line(f"{code} is out of use: {gone.name.replace('-', ' ')}. In its place: {gone.instead}.")
        voice.finish()
    if code not in rules():
        last = max(int(other.partition(" ")[2]) for other in rules() if area(other) == area(code))
        text = f"no rule has the code '{code}'; the codes of {area(code)} end at {area(code)} {last}"
        voice.stop([Finding(rule="file 90", message=text, remedy="take a code as a finding prints it: fuse 8")])
    row = rules()[code]
    voice.data["rule"] = {
        "code": code, "name": row.name, "means": in_language(meanings()[code]), "severity": row.severity.value,
        "why": in_language(row.why), "source": in_language(row.source), "mend": in_language(mends()[code]),
    }  # fmt: skip
    name = row.name.replace("-", " ")  # the same in every language, like the code
    voice.line(Said(f"{in_language(row.severity.value):<7}{code}   {name}"))
    for line in (meanings()[code], row.why, f"To mend it: {mends()[code]}", f"Source: {row.source}"):
        voice.line(f"       {line}")
    voice.finish()


def _limits(voice: Voice, file: Path, language: str | None) -> None:
    from layout.placing.rule_table import effective_rules

    session = open_project(file, voice)
    voice.speak(language)
    limits = effective_rules(session.project)
    voice.data["limits"] = [
        {
            "rule": one.rule, "layer": one.layer, "applies": one.applies, "value_mm": one.value_mm,
            "set_by": one.origin, "at": str(one.at), "why": one.why, "source": one.source,
        }
        for one in limits
    ]  # fmt: skip
    voice.table(
        ("rule", "layer", "mm", "set by", "applies to"),
        [(one.rule, one.layer, one.value_mm, _set_by(one.origin, str(one.at)), one.applies) for one in limits],
    )
    voice.finish(session.findings, session.sources)


def _set_by(origin: str, at: str) -> str:
    return f"{origin}, {at}" if at else origin
