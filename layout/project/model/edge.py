"""Small marks for model fields; pydantic reads them at the edge and is imported only there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class OneOrMore:
    """Mark on a tuple field: a single entry may stand for a list of one."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        from pydantic_core import core_schema  # noqa: PLC0415

        listed = handler(source)
        single = core_schema.no_info_before_validator_function(_as_list, listed)
        # the reader validates strictly and makes the list itself
        return core_schema.lax_or_strict_schema(lax_schema=single, strict_schema=listed)

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        inner: dict[str, Any] = handler(schema.get("schema", schema))
        single = inner.get("items", {})
        return {"anyOf": [single, inner]}


def _as_list(value: object) -> object:
    return value if isinstance(value, list | tuple) else [value]


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
