"""One text, said in the language of the project; what the user wrote stays as it is."""

from __future__ import annotations

import re
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from layout.languages.catalogue import OWN, Catalogue, catalogue
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.languages.catalogue import TextTemplate

SEPARATORS = (
    "\n",
    "   ",
    "  ·  ",
    " · ",
    "  ",
    ". ",
    "; ",
    ": ",
    ", ",
    " + ",
    " = ",
    " > ",
    " / ",
    " and ",
    " or ",
    " → ",
    " – ",
)
"""Where a text that is found nowhere is cut into parts that may be; the first that it has."""

_JOINTS = {" and ": "and", " or ": "or"}
"""Separators that are words themselves."""

SENTENCES = (". ", "; ")
"""Separators whose sign belongs to the part before them."""

_MOST_PARTS = 8
"""A text of more parts is not cut in two at each of them."""

_DEEPEST = 12
"""So many templates may stand in one another."""

_MASK = 0xE000
"""First of the signs that stand for the user's names while a text is looked up (Unicode, private use)."""

_NAMES = re.compile(f"([{chr(_MASK)}-{chr(_MASK + 0x18FF)}])")

_NAMELIKE = re.compile(r".*[\sA-Z\d].*", re.DOTALL)
_UNITS = frozenset(
    """
    mm cm km mA kA mV kV Ah mAh Wh kWh kW mW Hz kHz MHz GHz ohm mohm min deg dB dBm kg mg lb in ft nm lm sq awg AWG SAE
    mm² mm2 cm² m² Ω mΩ kΩ MPa Nm max pH ms Mohm Letter Legal Tabloid bit kbit Mbit AC DC VHF AIS GPS USB LED LEN PE
    RCD IP ISO IEC ABYC CFR ASTM UV
    PVC BK BN RD OG YE GN BU VT GY WH PK GD TQ SR GNYE PDF CSV SVG DXF XLSX YAML JSON HTML id
    """.split()  # noqa: SIM905
)
_PLAIN = re.compile(
    r"\W*|\W*[^\W\d_]\W*|\W*\w*\d[\w.]*\W*|[\w./:-]+/[+\w -]*|networks\.(?!.*: ).*|[\w./-]*[\w]+[_./][\w./:-]+"
    r"|--?[\w-]+|[A-Z]{2}|[a-z]+:[A-Z+-]+|'[^']*'|(?:file|panel|fit|cut|wire|fuse|bus|day|paper)\s\d+"
)


class Said(str):
    """A text that is in the reader's language already."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Language:
    """What is spoken: a language (ISO 639-1), and the names a project gives, which no language changes."""

    code: str = OWN
    names: frozenset[str] = frozenset()


@dataclass(slots=True)
class Heard:
    """What a language was asked for and has not, by the whole text it stood in."""

    missing: dict[str, str] = field(default_factory=dict)


class Speech:
    """Says texts in one language, each worked out once.

    Parameters
    ----------
    texts
        The catalogue; a test gives its own.
    """

    def __init__(self, language: Language, texts: Catalogue | None = None) -> None:
        self._texts = catalogue(language.code) if texts is None else texts
        self._names = language.names
        self._known: dict[str, tuple[str, tuple[str, ...]]] = {}
        self._said: dict[str, tuple[Said, tuple[str, ...]]] = {}
        self._heard: set[str] = set()

    def say(self, text: str) -> Said:
        """Return a text in this language."""
        if text not in self._said and text in self._heard:
            self._said[text] = Said(text), ()  # what was said comes back as a plain text
        if text not in self._said:
            self._said[text] = self._whole(text)
        said, missing = self._said[text]
        self._heard.add(said)
        if missing and (listener := _HEARD.get()) is not None:
            for part in missing:
                listener.missing.setdefault(part, text)
        return said

    def _whole(self, text: str) -> tuple[Said, tuple[str, ...]]:
        masked, names = self._masked(text)
        said, missing = self._say(masked, 0)
        if missing and names:  # a name may be a word of the program as well
            other, lacking = self._say(text, 0)
            if _letters(lacking) < _letters(missing):
                said, missing, names = other, lacking, ()
        for at, name in enumerate(names):
            said = said.replace(chr(_MASK + at), name)
            missing = tuple(part.replace(chr(_MASK + at), name) for part in missing)
        return Said(said), missing

    @cached_property
    def _name_pattern(self) -> re.Pattern[str] | None:
        longest_first = sorted(
            (name for name in self._names if _is_maskable(name)), key=lambda name: (-len(name), name)
        )
        if not longest_first:
            return None
        return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)")

    def _masked(self, text: str) -> tuple[str, tuple[str, ...]]:
        """Return a text with a sign for each of the user's names in it, and the names."""
        names: list[str] = []
        if self._name_pattern is None:
            return text, ()

        def sign(name: re.Match[str]) -> str:
            if name.group() not in names:
                names.append(name.group())
            return chr(_MASK + names.index(name.group()))

        return self._name_pattern.sub(sign, text), tuple(names)

    def _say(self, text: str, depth: int) -> tuple[str, tuple[str, ...]]:
        """Return a text in this language, and the parts of it that are nowhere."""
        core = text.strip()
        if core in self._names or is_plain(core):
            return text, ()
        if core not in self._known:
            self._known[core] = (core, (core,))  # a text within itself is not looked up again
            self._known[core] = self._found(core, depth)
        said, missing = self._known[core]
        return text.replace(core, said, 1), missing

    def _found(self, text: str, depth: int) -> tuple[str, tuple[str, ...]]:
        alone = self._alone(text)
        if alone is not None:
            return alone, ()
        if depth > _DEEPEST:
            return text, (text,)
        best: tuple[str, tuple[str, ...]] = (text, (text,))
        ways = self._ways(text, depth)
        for way in ways:
            if not way[1]:
                return way
            if _letters(way[1]) < _letters(best[1]):
                best = way
        return best

    def _alone(self, text: str) -> str | None:
        """Return what a text without values is in this language, whatever its first letter and its last sign."""
        whole = self._texts.whole
        if text in whole:
            return whole[text]
        for end in (".", ":", ",", ";", "…", "?", "!"):
            if text.endswith(end) and text[: -len(end)] in whole:
                return whole[text[: -len(end)]] + end
        if text + "." in whole:
            return whole[text + "."].removesuffix(".")
        other = text[0].swapcase() + text[1:]
        if text[0].isupper() and other in whole:
            return whole[other][0].upper() + whole[other][1:]
        if text[0].islower() and other in whole:
            return whole[other]
        return None

    def _ways(self, text: str, depth: int) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Yield what a text may be: a template with values, parts of a list, sentence by sentence."""
        later = []
        for template, values in self._texts.matches(text):
            if any(", or " in value for value, stays in zip(values, template.verbatim, strict=True) if stays):
                continue
            if any(". " in value or "\n" in value for value in values):
                later.append((template, values))
                continue
            yield self._filled(template, values, depth)
        cut = [separator for separator in SEPARATORS if separator in text]
        for separator in cut[:4]:
            yield self._in_parts(text, separator, depth)
        for separator in cut[:3]:
            yield from self._in_two(text, separator, depth)
        if len(around := _NAMES.split(text)) > 1:
            said = [self._say(part, depth + 1) for part in around]
            yield "".join(part for part, _ in said), tuple(part for _, lacking in said for part in lacking)
        if " " in text and sum(not is_plain(word) for word in text.split(" ")) <= 1:
            yield self._in_parts(text, " ", depth)
        for template, values in later:
            yield self._filled(template, values, depth)
        for opening, closing in (("(", ")"), ("[", "]"), ('"', '"')):
            if text.startswith(opening) and text.endswith(closing) and len(text) > len(opening + closing):
                inner, missing = self._say(text[1:-1], depth + 1)
                yield opening + inner + closing, missing
        if text.endswith((".", ":", ",", ";", "…")) and len(text) > 1:
            bare, missing = self._say(text[:-1], depth + 1)
            yield bare + text[-1], missing

    def _filled(self, template: TextTemplate, values: tuple[str, ...], depth: int) -> tuple[str, tuple[str, ...]]:
        said: list[str] = []
        missing: list[str] = []
        for value, verbatim in zip(values, template.verbatim, strict=True):
            own, lacking = (value, ()) if verbatim else self._say(value, depth + 1)
            said.append(own)
            missing += lacking
        return template.filled(tuple(said)), tuple(missing)

    def _in_two(self, text: str, separator: str, depth: int) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Yield what a text is, cut once: a part may have the separator in itself."""
        parts = text.split(separator)
        if 2 < len(parts) <= _MOST_PARTS:
            stop = separator.rstrip() if separator in SENTENCES else ""
            for at in range(1, len(parts)):
                first, missing = self._say(separator.join(parts[:at]) + stop, depth + 1)
                second, more = self._say(separator.join(parts[at:]), depth + 1)
                yield first + separator.removeprefix(stop) + second, (*missing, *more)

    def _in_parts(self, text: str, separator: str, depth: int) -> tuple[str, tuple[str, ...]]:
        parts = [self._say(part, depth + 1) for part in text.split(separator)]
        joint = separator
        if separator in _JOINTS:
            joint = f" {self._texts.whole.get(_JOINTS[separator], _JOINTS[separator])} "
        return joint.join(said for said, _ in parts), tuple(part for _, missing in parts for part in missing)


def is_plain(text: str) -> bool:
    """Tell whether a text is the same in every language: numbers, units, keys, codes, single letters.

    >>> is_plain("2.5 mm²"), is_plain("wire 8"), is_plain("circuits.bilge"), is_plain("spare")
    (True, True, True, False)
    """
    return bool(_PLAIN.fullmatch(text)) or all(
        part in _UNITS or _PLAIN.fullmatch(part) is not None for part in re.split(r"[\s,;:()\[\]+×–/|-]+", text)
    )


def _is_maskable(name: str) -> bool:
    return len(name) > 2 and bool(_NAMELIKE.fullmatch(name)) and not is_plain(name)


def _letters(parts: tuple[str, ...]) -> int:
    return sum(map(len, parts))


@lru_cache(maxsize=4)
def _speech(language: Language) -> Speech:
    return Speech(language)


_SPOKEN: ContextVar[Speech | None] = ContextVar("spoken", default=None)
_LANGUAGE: ContextVar[Language | None] = ContextVar("language", default=None)
_HEARD: ContextVar[Heard | None] = ContextVar("heard", default=None)


def in_language(text: str) -> str:
    """Return one of the program's texts in the language that is spoken; in English, as it is.

    Numbers, units, keys, the names a project gives and what the catalogue does not have stay as they are.
    """
    speech = _SPOKEN.get()
    if speech is None or isinstance(text, Said) or not text:
        return text
    return speech.say(text)


def spoken_language() -> Language:
    """Return the language that is spoken."""
    return _LANGUAGE.get() or Language()


@contextmanager
def spoken(language: Language) -> Iterator[None]:
    """Speak a language until the end of the ``with``; then the one before."""
    before = _LANGUAGE.set(language)
    speech = _SPOKEN.set(None if language.code == OWN else _speech(language))
    try:
        yield
    finally:
        _SPOKEN.reset(speech)
        _LANGUAGE.reset(before)


def speak(language: Language) -> None:
    """Speak a language until the end of the ``with spoken(...)`` that is around."""
    _LANGUAGE.set(language)
    _SPOKEN.set(None if language.code == OWN else _speech(language))


@contextmanager
def heard() -> Iterator[Heard]:
    """Listen for texts that the language lacks, until the end of the ``with``."""
    listener = Heard()
    token = _HEARD.set(listener)
    try:
        yield listener
    finally:
        _HEARD.reset(token)
