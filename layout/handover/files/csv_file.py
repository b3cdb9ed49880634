"""Tables as CSV (RFC 4180): comma, UTF-8, one heading row of keys, lines end with CR LF."""

from __future__ import annotations

import csv
from io import StringIO
from typing import TYPE_CHECKING

from layout.handover.lists.table import filed

if TYPE_CHECKING:
    from layout.handover.lists.table import Table

_FORMULA = ("=", "@", "\t", "\r")


def csv_bytes(table: Table) -> bytes:
    """Return the table as CSV with the columns' keys as headings.

    A text that a spreadsheet would take for a formula gets an apostrophe in front; signs of poles (``+``, ``-``) stay.
    """
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([column.key for column in table.columns])
    for row in table.rows:
        writer.writerow([_safe(filed(row[column.key])) for column in table.columns])
    return out.getvalue().encode("utf-8")


def _safe(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text
