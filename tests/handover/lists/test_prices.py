"""The user's own prices: read, put beside the parts list, summed; what has no price is named and not in the sum."""

from __future__ import annotations

import pytest

from layout.handover.lists.prices import priced, read_prices
from layout.handover.lists.table import Column, Table
from layout.languages import Language, spoken

ROWS = (
    {"item": "lamp", "count": 2, "unit": "piece"},
    {"item": "cable red", "count": 12.5, "unit": "m"},
    {"item": "pump", "count": 1, "unit": "piece"},
)
PARTS = Table(
    name="parts", title="Parts list", columns=tuple(Column(key=key, title=key) for key in ("item", "count", "unit")),
    rows=ROWS,
)  # fmt: skip


def test_sum_by_hand():
    """2 x 30 and 12.5 m x 1.20 make 75.00; the pump without a price prints a question mark and is named."""
    table = priced(PARTS, {"lamp": 30.0, "cable red": 1.2, "anchor": 99.0})
    assert [row["sum"] for row in table.rows] == [60.0, 15.0, None]
    assert table.notes[-1] == (
        "Sum of 2 of 3 rows: 75.00. Without a price, so not in it: pump. Priced, but not in this list: anchor."
    )


def test_prices_of_a_german_list():
    """A price stands at the item's German name, under German headings; one at the English name counts as well."""
    item = "blade fuse, 3 A"
    fuse = Table(
        name="parts", title="Parts list", columns=PARTS.columns, rows=({"item": item, "count": 2, "unit": ""},)
    )
    prices, faults = read_prices('Teil,Menge,price\n"Flachsicherung, 3 A",2,1.50\n')
    assert (prices, faults) == ({"Flachsicherung, 3 A": 1.5}, ())
    with spoken(Language("de")):
        assert [priced(fuse, told).rows[0]["sum"] for told in (prices, {item: 1.0})] == [3.0, 2.0]
    assert priced(fuse, prices).rows[0]["sum"] is None


@pytest.mark.parametrize(
    ("text", "prices"),
    [
        ("item,price\nlamp,30\npump,\n", {"lamp": 30.0}),
        ("item;price\nlamp;30,50\n", {"lamp": 30.5}),
        ("group,item,count,price\nDevice,lamp,2,0\n", {"lamp": 0.0}),
        ("item,price\nlamp,30\nlamp,30\n", {"lamp": 30.0}),
    ],
)
def test_prices_as_people_write_them(text, prices):
    """Comma or semicolon, a blank is not known, a price that stands twice alike is one."""
    assert read_prices(text) == (prices, ())


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("item,cost\nlamp,30\n", 1, "no column price"),
        ("item,price\nlamp,30 EUR\n", 2, "'30 EUR' is no price"),
        ("item,price\nlamp,-1\n", 2, "'-1' is no price"),
        ("item,price\nlamp,nan\n", 2, "'nan' is no price"),
        ("item,price\nlamp,30\nlamp,31\n", 3, "two prices, 30 and 31"),
    ],
)
def test_what_is_no_price_is_located(text, line, says):
    """A fault has its line and says what is wrong."""
    _, (fault,) = read_prices(text, name="my.csv")
    assert (fault.rule, fault.at.file, fault.at.line) == ("paper 4", "my.csv", line)
    assert says in fault.message
