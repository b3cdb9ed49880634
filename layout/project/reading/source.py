"""Read one file from disk as text, or say why it can't be used."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from layout.findings import Finding, Place
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from pathlib import Path

MOST_BYTES = 4_000_000
"""Largest file that is read; the largest project measured has a tenth of it."""

_CONTROL = re.compile("[^\x09\x0a\x0d\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|(?<!^)\ufeff")


@dataclass(frozen=True, slots=True)
class Source:
    """Text of one file, with the name it goes by in messages."""

    name: str
    text: str


def read_source(path: Path, name: str) -> Source | Finding:
    """Read a file whole.

    Parameters
    ----------
    path
        Where it is.
    name
        What it is called in messages: its path from the project's folder.

    Returns
    -------
    Source or Finding
        The text without byte order mark, or why there is none.
    """
    try:
        if not path.exists():
            return Finding(rule="file 1", message=f"there is no file '{name}'", at=Place(name), remedy="check the path")
        if not path.is_file():
            return Finding(
                rule="file 2", message=f"'{name}' is no file", at=Place(name), remedy="name a YAML file, not a folder"
            )
        with path.open("rb") as stream:
            raw = stream.read(MOST_BYTES + 1)
    except OSError as error:
        return Finding(
            rule="file 2",
            message=f"'{name}' can't be read: {(error.strerror or 'unknown reason').lower()}",
            at=Place(name),
            remedy="check the file's rights",
        )
    if len(raw) > MOST_BYTES:
        return Finding(
            rule="file 3",
            message=f"'{name}' is larger than {MOST_BYTES / 1e6:g} MB, the most that is read",
            at=Place(name),
            remedy="split it with include, or check that it is the right file",
            limit=MOST_BYTES,
            unit="bytes",
        )
    return decoded(raw, name)


def decoded(raw: bytes, name: str) -> Source | Finding:
    """Turn a file's bytes into text that YAML can take, or say which character it can't."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line, column = _position(raw[: error.start].decode("utf-8", "replace"))
        return Finding(
            rule="file 4",
            message=f"'{name}' is not UTF-8 text: byte {raw[error.start]:#04x} in line {line}",
            at=Place(name, line, column),
            remedy="save the file as UTF-8",
        )
    if odd := _CONTROL.search(text):
        line, column = _position(text[: odd.start()])
        return Finding(
            rule="file 4",
            message=f"'{name}' holds the control character U+{ord(odd[0]):04X} in line {line}",
            at=Place(name, line, column),
            remedy="delete the character",
        )
    if not text.strip():
        return Finding(
            rule="file 5",
            message=f"'{name}' is empty",
            at=Place(name),
            remedy="start from 'spile new', or check that the file was saved",
        )
    return Source(name, text)


def _position(before: str) -> tuple[int, int]:
    lines = re.split("\r\n|[\r\n\x85\u2028\u2029]", before)
    return len(lines), len(lines[-1]) + 1
