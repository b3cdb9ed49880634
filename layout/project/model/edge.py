"""Small marks for model fields, and what several records ask of themselves."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OneOrMore:
    """Mark on a tuple field: a single entry may stand for a list of one."""


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
