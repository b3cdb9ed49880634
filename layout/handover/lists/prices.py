"""The user's own prices: read from CSV by the item of the parts list, and put beside it with the sum."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Finding, Place
from layout.handover.lists.filled_in import FilledIn
from layout.handover.lists.table import Column
from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.handover.lists.table import Cell, Table

PRICE = Column(key="price", title="Price", unit="for one", width_mm=18, align="right")
SUM = Column(key="sum", title="Sum", width_mm=20, align="right")
NAMED = 8
"""So many items without a price are named; the list shows a question mark at all of them."""


def read_prices(text: str, *, name: str = "") -> tuple[dict[str, float], tuple[Finding, ...]]:
    """Read prices for one unit of an item (CSV with comma or semicolon, columns ``item`` and ``price``).

    Parameters
    ----------
    text
        Content of the file; a decimal comma is taken where the columns are divided by semicolons.
    name
        Name of the file, for findings.

    Returns
    -------
    Price by item, and what could not be read. A row without a price is left out: its price is not known.
    """
    filled = FilledIn.read(text, {"item": "Item", "price": PRICE.heading})
    if lacks := filled.lacks(("item", "price")):
        remedy = "add a column price to csv/parts.csv and fill it in"
        return {}, (Finding(rule="paper 4", message=lacks, at=Place(name, 1, 1), remedy=remedy),)
    prices: dict[str, float] = {}
    faults: list[Finding] = []
    for line, row in filled.rows:
        item, written = (row["item"] or "").strip(), (row["price"] or "").strip()
        if not written:
            continue
        at, value = Place(name, line, 1, item), filled.number(written)
        wrong = f"'{written}' is no price of 0 or more" if value is None else ""
        if value is not None and prices.get(item, value) != value:
            wrong = f"it has two prices, {prices[item]:g} and {value:g}"
        if wrong or value is None:
            remedy = "write one plain number like 12.50, without a currency"
            faults.append(Finding(rule="paper 4", message=f"{item or 'a row'}: {wrong}", at=at, remedy=remedy))
        else:
            prices[item] = value
    return prices, tuple(faults)


def priced(table: Table, prices: Mapping[str, float]) -> Table:
    """Return the parts list with price and sum of each row, and the sum of all below; no price is never nought.

    The prices' items are compared with the list's, letter by letter; one that is not in the list is named.
    """
    rows: list[Mapping[str, Cell]] = []
    total, without = 0.0, []
    for row in table.rows:
        item, count = str(row["item"]), row["count"]
        price = prices.get(item, prices.get(in_language(item)))
        amount = None if price is None or not isinstance(count, (int, float)) else round(price * count, 2)
        rows.append({**row, "price": price, "sum": amount})
        if amount is None:
            without.append(str(row["item"]))
        else:
            total += amount
    told = f"Sum of {len(rows) - len(without)} of {len(rows)} rows: {total:.2f}."
    if without:
        more = f", and {len(without) - NAMED} more" if len(without) > NAMED else ""
        told += f" Without a price, so not in it: {'; '.join(without[:NAMED])}{more}."
    listed = {said for row in rows for said in (str(row["item"]), in_language(str(row["item"])))}
    strange = [item for item in prices if item not in listed]
    if strange:
        told += f" Priced, but not in this list: {'; '.join(strange[:NAMED])}{' ...' if len(strange) > NAMED else ''}."
    at = next(n for n, column in enumerate(table.columns) if column.key == "unit") + 1
    columns = (*table.columns[:at], PRICE, SUM, *table.columns[at:])
    return replace(table, columns=columns, rows=tuple(rows), notes=(*table.notes, told))
