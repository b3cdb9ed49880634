"""Tables as CSV (RFC 4180): comma, UTF-8, one heading row of keys, lines end with CR LF."""

from __future__ import annotations

import csv
import re
from io import StringIO
from typing import TYPE_CHECKING

from layout.handover.lists.table import filed

if TYPE_CHECKING:
    from layout.handover.lists.table import Table

INVENTED_KEY, INVENTED_CELL = "invented", "invented data"
_FORMULA = ("=", "@", "\t", "\r")
_SIGNED = re.compile(r"[+-](\d[\d.,]*( ?%| ?[A-Za-zµΩ°²]+)?)?")
"""A sign of a pole alone, or a signed number with its unit: no formula."""


def csv_bytes(table: Table, *, invented: bool = False) -> bytes:
    """Return the table as CSV with the columns' keys as headings.

    Lists of an example end with a column ``invented`` that says so in every row, so that a row that is copied says it.

    A text that a spreadsheet would take for a formula gets an apostrophe in front; signs of poles (``+``, ``-``) and
    signed numbers stay.
    """
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    more = ((INVENTED_KEY,), (INVENTED_CELL,)) if invented else ((), ())
    writer.writerow([*(column.key for column in table.columns), *more[0]])
    for row in table.rows:
        writer.writerow([*(_safe(filed(row[column.key])) for column in table.columns), *more[1]])
    return out.getvalue().encode("utf-8")


def _safe(text: str) -> str:
    is_formula = text.startswith(_FORMULA) or (text.startswith(("+", "-")) and not _SIGNED.fullmatch(text))
    return f"'{text}" if is_formula else text
