"""HTML from pieces: every text is escaped where it is put in, so that no name can be more than a text."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Literal

from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Iterable

VOID = frozenset({"br", "input", "link", "meta"})
"""Elements that have no end."""


class Markup(str):
    """HTML that is finished: it is put in as it stands."""

    __slots__ = ()


def element(name: str, /, *children: str, **attributes: str | bool | None) -> Markup:
    """Return an element.

    Parameters
    ----------
    children
        Markup as it stands, other texts escaped.
    attributes
        Values are escaped; True gives the bare name, None and False nothing. ``_`` in a name stands for ``-``, and one
        at its end is left out: ``class_``, ``data_light``.

    >>> element("p", "a < b", element("b", "!"), class_="lead", hidden=False)
    '<p class="lead">a &lt; b<b>!</b></p>'
    """
    written = "".join(
        f" {key.rstrip('_').replace('_', '-')}" + _written(key, value)
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    start = f"<{name}{written}>"
    return Markup(start if name in VOID else f"{start}{joined_markup(children)}</{name}>")


_READ = ("aria_label", "title", "alt", "placeholder", "data_lit", "data_only", "data_of")
"""Attributes whose value is read by people, here or as what the page's script fills in."""


def _written(key: str, value: str | Literal[True]) -> str:
    return "" if value is True else f'="{escape(in_language(value) if key in _READ else value)}"'


def joined_markup(children: Iterable[str], between: str = "") -> Markup:
    """Return pieces one after the other, texts escaped."""
    pieces = (child if isinstance(child, Markup) else escape(in_language(child)) for child in children)
    return Markup(between.join(pieces))
