"""One table value for every output: the same columns in the same order as CSV, spreadsheet and paper."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

Cell = str | int | float | bool | None
"""What a cell holds; None is not known and prints as ``?``, an empty text is not applicable and prints as nothing."""

UNKNOWN = "?"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column.

    Attributes
    ----------
    key
        Key of the row's mapping, and the heading in CSV.
    title, unit
        Heading for people; the unit stands below it.
    digits
        Decimals of a number on paper; files carry the number as it is.
    width_mm
        Room on paper; a spreadsheet takes it in proportion.
    align
        Left for words, right for numbers.
    blank
        Whether paper leaves it free to be filled in.
    once
        Whether a list in two columns says it once for rows that stand together and have it in common.
    paper
        Whether a list in two columns shows it; files always do.
    """

    key: str
    title: str
    unit: str = ""
    digits: int = 2
    width_mm: float = 22.0
    align: Literal["left", "right", "centre"] = "left"
    blank: bool = False
    once: bool = False
    paper: bool = True

    @property
    def heading(self) -> str:
        """Title with its unit, on one line."""
        return f"{self.title} ({self.unit})" if self.unit else self.title


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Columns and rows under a title.

    Attributes
    ----------
    name
        Short name for files and spreadsheet tabs.
    faulty
        Numbers of rows that show something with an error.
    notes
        Footnotes, in order.
    group_by
        Key of the column that rows are gathered under on paper; rows of a group stand together already.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Mapping[str, Cell], ...]
    faulty: frozenset[int] = frozenset()
    notes: tuple[str, ...] = ()
    group_by: str = ""

    def __post_init__(self) -> None:
        keys = [column.key for column in self.columns]
        if len(set(keys)) != len(keys):
            raise ValueError(f"a column of '{self.name}' stands twice: {keys}")
        for number, row in enumerate(self.rows, start=1):
            lost = [key for key in keys if key not in row]
            if lost:
                raise ValueError(f"row {number} of '{self.name}' lacks {', '.join(lost)}")


def shown(value: Cell, column: Column | None = None) -> str:
    """Return a cell as paper shows it.

    >>> shown(None), shown(2.5, Column(key="v", title="V", digits=1)), shown(True), shown("")
    ('?', '2.5', 'yes', '')
    """
    if value is None:
        return UNKNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        digits = column.digits if column else 2
        text = f"{value:.{digits}f}"
        return text[1:] if text.startswith("-") and not text.strip("-0.") else text
    return str(value)


def filed(value: Cell) -> str:
    """Return a cell as a file for programs carries it: the shortest text that reads back as the same number."""
    if isinstance(value, bool) or value is None:
        return shown(value)
    if isinstance(value, float):
        return repr(round(value, 9) + 0.0)
    return str(value)
