"""Tables as CSV (RFC 4180): comma, UTF-8, one heading row of keys, lines end with CR LF."""

from __future__ import annotations

import csv
import re
from io import StringIO
from typing import TYPE_CHECKING

from layout.handover.lists.table import filed
from layout.languages import in_language, spoken_language
from layout.languages.catalogue import OWN

if TYPE_CHECKING:
    from layout.handover.lists.table import Table

INVENTED_KEY, INVENTED_CELL = "invented", "invented data"
_FORMULA = ("=", "@", "\t", "\r")
_SIGNED = re.compile(r"[+-](\d[\d.,]*( ?%| ?[A-Za-zµΩ°²]+)?)?")
"""A sign of a pole alone, or a signed number with its unit: no formula."""


def csv_bytes(table: Table, *, invented: bool = False) -> bytes:
    """Return the table as CSV with the columns' keys as headings; in another language than English with their titles.

    Lists of an example end with a column ``invented`` that says so in every row, so that a row that is copied says it.

    A text that a spreadsheet would take for a formula gets an apostrophe in front; signs of poles (``+``, ``-``) and
    signed numbers stay.
    """
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    more = ((INVENTED_KEY,), (INVENTED_CELL,)) if invented else ((), ())
    writer.writerow([*_headings(table), *map(in_language, more[0])])
    for row in table.rows:
        cells = (in_language(filed(row[column.key])) for column in table.columns)
        writer.writerow([*map(_safe, cells), *map(in_language, more[1])])
    return out.getvalue().encode("utf-8")


def _headings(table: Table) -> list[str]:
    """Return the first row; a title that stands twice is told apart by its key."""
    if spoken_language().code == OWN:
        return [column.key for column in table.columns]
    titles = [in_language(column.heading) for column in table.columns]
    return [
        title if titles.count(title) == 1 else f"{title} ({column.key})"
        for title, column in zip(titles, table.columns, strict=True)
    ]


def _safe(text: str) -> str:
    is_formula = text.startswith(_FORMULA) or (text.startswith(("+", "-")) and not _SIGNED.fullmatch(text))
    return f"'{text}" if is_formula else text
