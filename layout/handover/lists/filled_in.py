"""A list that came back filled in: CSV as a person's spreadsheet writes it, with comma or semicolon."""

from __future__ import annotations

import csv
from io import StringIO
from typing import TYPE_CHECKING

from layout.languages import Language, in_language, spoken
from layout.languages.catalogue import shipped_languages
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True, slots=True)
class FilledIn:
    """The rows of a filled list, each with the line it ends at; ``comma`` tells whether decimals are written with one.

    Where columns are divided by semicolons, a comma is taken as a decimal one.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[int, Mapping[str, str | None]], ...]
    comma: bool

    @classmethod
    def read(cls, text: str, titles: Mapping[str, str]) -> FilledIn:
        """Read a file's text; what divides its columns is what its first line has more of.

        A column is known by its key, or by its heading (``titles``, by key) in any language that spile speaks.
        """
        first = text.split("\n", 1)[0]
        comma = first.count(";") > first.count(",")
        reader = csv.DictReader(StringIO(text.removeprefix("\ufeff")), delimiter=";" if comma else ",")
        keys = _keys_by_heading(titles)
        reader.fieldnames = [keys.get(head, head) for head in reader.fieldnames or ()]
        heads = tuple(reader.fieldnames)
        return cls(heads, tuple((reader.line_num, row) for row in reader), comma)

    def lacks(self, keys: Iterable[str]) -> str:
        """Say which columns are not there; empty where all are."""
        missing = [key for key in keys if key not in self.heads]
        if not missing:
            return ""
        return f"the file has no column {', '.join(missing)}; it has {', '.join(self.heads) or 'none'}"

    def number(self, written: str) -> float | None:
        """Return a plain number of 0 or more; None where the text is none."""
        try:
            value = float(written.replace(",", ".") if self.comma else written)
        except ValueError:
            return None
        return value if 0 <= value < float("inf") else None


def _keys_by_heading(titles: Mapping[str, str]) -> dict[str, str]:
    keys: dict[str, str] = {}
    for code in shipped_languages():
        with spoken(Language(code)):
            keys |= {str(in_language(title)): key for key, title in titles.items()}
    return keys
