"""Small marks for model fields, and what several records ask of themselves."""

from __future__ import annotations

from typing import Annotated

from layout.light_dataclass import dataclass


@dataclass(frozen=True, slots=True)
class OneOrMore:
    """Mark on a tuple field: a single entry may stand for a list of one."""


class TextError(ValueError):
    """A text is longer than what it stands for, or holds what can't be printed in its place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TextMark:
    """Mark on a text field: the most signs it may have, and whether it may have several lines."""

    most: int = 80
    has_lines: bool = False

    def read(self, value: str) -> str:
        """Return the text if it holds the bounds.

        Raises
        ------
        TextError
            If it does not.
        """
        if len(value) > self.most:
            raise TextError(f"expected at most {self.most} signs, found {len(value)}")
        if "\n" in value and not self.has_lines:
            raise TextError("expected one line of text, found a line break in it")
        return value


Note = Annotated[str, TextMark(most=1000, has_lines=True)]
"""Text that people read only, in as many lines as they like."""


def exactly_one(owner: str, choices: dict[str, object]) -> str:
    """Return the one name whose value is given.

    Raises
    ------
    ValueError
        If none or several are.
    """
    given = [name for name, value in choices.items() if value is not None and value != ()]
    if len(given) != 1:
        found = "found none" if not given else f"found {' and '.join(given)}"
        raise ValueError(f"{owner} takes exactly one of {', '.join(choices)}; {found}")
    return given[0]
