"""The language a project asks for, with the names it gives, which no language changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

from layout.languages import Language
from layout.languages.catalogue import OWN, shipped_languages

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.project.model.project import Project

NAMING = frozenset(
    {"name", "label", "old_label", "owner", "number", "drawn_by", "approved_by", "revision", "why", "note"}
)
"""Keys whose value is the user's own words."""


def language_of(project: Project) -> Language:
    """Return what is spoken about a project; English for a language that is not shipped."""
    code = project.project.language
    if code == OWN or code not in shipped_languages():
        return Language()
    return Language(code, frozenset(form for name in _names(project) for form in (name, name.upper())))


def _names(value: Any) -> Iterator[str]:
    if is_dataclass(value):
        for one in fields(value):
            if one.name in ("positions", "language"):
                continue
            own = getattr(value, one.name)
            if one.name in NAMING:
                yield from _texts(own)
            yield from _names(own)
    elif isinstance(value, Mapping):
        for key, entry in value.items():
            if getattr(entry, "name", None) == "" and not getattr(entry, "device", ""):
                yield key  # it is shown by its id
            yield from _names(entry)
    elif isinstance(value, tuple):
        for entry in value:
            yield from _names(entry)


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        if value:
            yield value
    elif isinstance(value, tuple):
        for entry in value:
            yield from _texts(entry)
