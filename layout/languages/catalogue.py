"""Catalogues of translated texts: a data file each, ``English template: translation``, found through their words."""

from __future__ import annotations

import re
from functools import cache
from importlib import resources
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

OWN = "en"
"""The language that the program's own texts are written in; it has no catalogue."""

_WORD = re.compile(r"[^\W\d_]{2,}")
_PLACE = re.compile(r"\{(=?\d*)\}")


@dataclass(frozen=True, slots=True)
class TextTemplate:
    """One translated text with places for values.

    Attributes
    ----------
    shape
        What the English text looks like; each group is a value.
    verbatim
        For each value, whether it stays as it is: one in quotes is a key or an id, one that the translation writes as
        ``{=}`` or ``{=0}`` is a word that the project file takes as it stands.
    said
        The translation, cut at its values: text, number of the value, text, and so on.
    weight
        Letters that are the template's own; of two that match, the one with more says it better.
    opens_small
        Whether it begins with a small letter of its own.
    """

    shape: re.Pattern[str]
    verbatim: tuple[bool, ...]
    said: tuple[str | int, ...]
    weight: int
    opens_small: bool

    def filled(self, values: tuple[str, ...]) -> str:
        """Return the translation with values in their places."""
        return "".join(values[piece] if isinstance(piece, int) else piece for piece in self.said)


class Catalogue:
    """All texts of one language.

    Raises
    ------
    ValueError
        If a translation has other places for values than its English text. An ending of a word, as in ``wire{}``, may
        be left out.
    """

    def __init__(self, texts: Mapping[str, str]) -> None:
        texts = {english.strip(): said.strip() for english, said in texts.items()}
        self.whole = {english: said for english, said in texts.items() if not value_places(english)}
        self._by_word: dict[str, list[TextTemplate]] = {}
        self._wordless: list[TextTemplate] = []
        for english, said in texts.items():
            if value_places(english):
                made = _template(english, said)
                longest = max(_own_words(english), key=len, default="")
                (self._by_word.setdefault(longest, []) if longest else self._wordless).append(made)

    def matches(self, text: str) -> Iterator[tuple[TextTemplate, tuple[str, ...]]]:
        """Yield the templates that a text is made of, with the values, those with most letters of their own first.

        A template that begins with a small letter is found in a text that begins with a large one.
        """
        near = list(self._wordless)
        words = _WORD.findall(text)
        for word in dict.fromkeys([*words, *(word[0].lower() + word[1:] for word in words[:1])]):
            near += self._by_word.get(word, ())
        small = text[0].lower() + text[1:]
        for template in sorted(near, key=lambda template: -template.weight):
            match = template.shape.fullmatch(text)
            if match is None and template.opens_small and small != text:
                match = template.shape.fullmatch(small)
            if match is not None:
                yield template, match.groups()


def value_places(text: str) -> int:
    """Return how many values a text has places for.

    >>> places("{} A of {}"), places("write behind: {shape: ...}")
    (2, 0)
    """
    return len(_PLACE.findall(text))


def _own_words(english: str) -> list[str]:
    """Return the words that no value can grow together with: ``wire{}`` may be ``wires``."""
    return [
        word.group()
        for word in _WORD.finditer(english)
        if english[word.end() : word.end() + 1] != "{" and english[word.start() - 1 : word.start()] != "}"
    ]


def _template(english: str, said: str) -> TextTemplate:
    pieces = _PLACE.split(english)
    literals, count = pieces[::2], len(pieces) // 2
    shape = "(.*?)".join(map(re.escape, literals))
    ends = _PLACE.split(said)
    numbers = [int(name.lstrip("=") or at) for at, name in enumerate(ends[1::2])]
    kept = {number for number, name in zip(numbers, ends[1::2], strict=True) if name.startswith("=")}
    endings = {at for at, before in enumerate(literals[:-1]) if before[-1:].isalpha()}
    if not set(range(count)) - endings <= set(numbers) <= set(range(count)):
        raise ValueError(f"'{said}' has not the {count} places of '{english}'")
    cut: list[str | int] = [ends[0]]
    for number, text in zip(numbers, ends[2::2], strict=True):
        cut += [number, text]
    return TextTemplate(
        shape=re.compile(shape, re.DOTALL),
        verbatim=tuple(
            at in kept or (before.endswith("'") and after.startswith("'"))
            for at, (before, after) in enumerate(pairwise(literals))
        ),
        said=tuple(cut),
        opens_small=literals[0][:1].islower(),
        weight=sum(len(word) for literal in literals for word in _WORD.findall(literal)),
    )


@cache
def shipped_languages() -> tuple[str, ...]:
    """Return the codes of the languages there are (ISO 639-1), English first."""
    folders = resources.files("layout.languages").iterdir()
    return (OWN, *sorted(entry.name for entry in folders if entry.is_dir() and re.fullmatch("[a-z]{2}", entry.name)))


@cache
def texts_in(code: str, name: str) -> dict[str, str]:
    """Return the texts of one file of a language by their English ones; those of a folder in it are a page's own.

    Raises
    ------
    ValueError
        If an entry is no text.
    """
    from layout.shipped import shipped_yaml

    file = resources.files("layout.languages").joinpath(code, name)
    texts = shipped_yaml(file.read_text(encoding="utf-8")) or {}
    for english, said in texts.items():
        if not isinstance(english, str) or not isinstance(said, str):
            raise ValueError(f"{code}/{name}: put quotes round '{english}: {said}'")
    return dict(texts)


@cache
def texts_of(code: str) -> dict[str, str]:
    """Return every text of a language by its English one.

    Raises
    ------
    ValueError
        If two files translate one text differently.
    """
    texts: dict[str, str] = {}
    files = sorted(file.name for file in resources.files("layout.languages").joinpath(code).iterdir())
    for name in files:
        if not name.endswith(".yaml"):
            continue
        for english, said in texts_in(code, name).items():
            if texts.setdefault(english, said) != said:
                raise ValueError(f"{code}/{name}: '{english}' is said differently in another file")
    return texts


@cache
def catalogue(code: str) -> Catalogue:
    """Return the catalogue of a language."""
    return Catalogue(texts_of(code))
