"""``spile words``: which words there are, and what they mean."""

from __future__ import annotations

import shutil
import textwrap
from enum import StrEnum
from typing import Annotated

import typer

from layout.cli.options import AsJson, InLanguage, Quiet
from layout.cli.voice import Voice
from layout.languages import Said, in_language


class Shelf(StrEnum):
    """Which words are asked for; the kinds of :mod:`layout.vocabulary`, so that help loads nothing heavy."""

    PURPOSES = "purposes"
    TYPES = "types"
    RULES = "rules"
    KEYS = "keys"
    FINDINGS = "findings"


WIDEST = 100
"""Signs in a line, at most; a longer one is hard to read."""


def words(
    kind: Annotated[Shelf, typer.Argument(help="Which words.", show_default=False)],
    word: Annotated[
        list[str] | None, typer.Argument(metavar="WORD", help="What to look for; all are shown without.")
    ] = None,
    language: InLanguage = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Show which words there are, and what they mean.

    Example: spile words purposes light
    Example: spile words keys fuse --language de
    """
    from layout.project.reading.spelling import meant
    from layout.vocabulary import search
    from layout.vocabulary import words as every_word

    voice = Voice(as_json=as_json, quiet=quiet)
    voice.speak(language)
    text = " ".join(word or ())
    hits = search(kind.value, text)
    if not hits:
        names = [entry.word for entry in every_word(kind.value)]
        voice.refuse(f"no word of the {kind.value} holds '{text}'", remedy=meant(text, names, what="there are"))
    voice.data["words"] = [{"word": hit.word, "says": in_language(hit.says), **dict(hit.facts)} for hit in hits]
    width = min(shutil.get_terminal_size((80, 24)).columns, WIDEST)
    for hit in hits:
        voice.line(Said(hit.word))
        for said in (hit.says, *(f"{name}: {fact}" for name, fact in hit.facts if len(hits) == 1 or name != "source")):
            for line in textwrap.wrap(in_language(said), width - 4):
                voice.line(Said(f"    {line}"))
    voice.finish()
