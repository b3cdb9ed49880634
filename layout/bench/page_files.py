"""The files of the page as they are built, and its own words in the project's language laid into it."""

from __future__ import annotations

import json
from importlib import resources

from layout.languages.catalogue import OWN, texts_in

_KINDS = {".html": "text/html", ".js": "text/javascript", ".css": "text/css"}
"""Parts of the page by the end of their name; nothing else is given out."""
PAGE_WORDS = "page/bench.yaml"
"""The file of a language that holds the page's own words."""


def page_part(name: str) -> tuple[bytes, str] | None:
    """Return a part of the page and what it is; None where there is none of that name."""
    kind = _KINDS.get(name[name.rfind(".") :])
    source = resources.files("layout.bench").joinpath("page")
    if kind is None or name not in {part.name for part in source.iterdir()}:
        return None
    return source.joinpath(name).read_bytes(), kind


def page_text(code: str) -> str:
    """Return the page in a language (ISO 639-1)."""
    page = resources.files("layout.bench").joinpath("page", "index.html").read_text(encoding="utf-8")
    words = {} if code == OWN else texts_in(code, PAGE_WORDS)
    laid = json.dumps(words, ensure_ascii=False).replace("<", "\\u003c")
    return page.replace('<html lang="en">', f'<html lang="{code}">', 1).replace(
        'id="words">{}', f'id="words">{laid}', 1
    )
