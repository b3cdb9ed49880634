"""The reference says what the program knows today, and leaves nothing out."""

from __future__ import annotations

import re
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

import pytest

from layout.findings import rules
from tests.reference_pages import messages, pages, pieces, write

if TYPE_CHECKING:
    from pathlib import Path

PAGES = pages()


def test_the_reference_is_written(tmp_path: Path) -> None:
    """Each page becomes a file of its own."""
    write(tmp_path)
    there = {file.relative_to(tmp_path).as_posix() for file in tmp_path.rglob("*.*") if file.is_file()}
    assert there == set(PAGES)


def test_every_word_command_and_function_is_told() -> None:
    """Each key, purpose, type, rule, wish, command and public function is a heading of some page."""
    headings = {line.lstrip("# ") for text in PAGES.values() for line in text.splitlines() if line.startswith("#")}
    assert sorted(set(pieces()) - headings) == []


@pytest.mark.parametrize("code", sorted(rules()))
def test_every_finding_has_its_page(code: str) -> None:
    """Each says how much it weighs, why it matters, where that comes from, and how it is mended."""
    text = PAGES[f"findings/{code.replace(' ', '-')}.md"]
    assert f"Weight: **{rules()[code].severity.value}**" in text
    parts = re.split(r"^## ", text, flags=re.MULTILINE)
    heads = [part.partition("\n")[0] for part in parts[1:]]
    assert [head for head in heads if head != "How it reads"] == [
        "What it means",
        "Why it matters",
        "Source",
        "How to mend it",
    ]
    assert all(part.partition("\n")[2].strip() for part in parts)


def test_links_lead_somewhere() -> None:
    """Each link and picture of a page is another page of the reference."""
    for name, text in PAGES.items():
        for target in re.findall(r"\]\(([^)]+)\)", text):
            if not target.startswith("http"):
                assert str(PurePosixPath(name).parent / target).removeprefix("./") in PAGES, (name, target)


def test_messages_are_read_from_the_source() -> None:
    """A message that stands beside its code is found; what differs is an ellipsis."""
    assert "…: its load is not known, so its conductors have no size" in messages()["wire 1"]
    assert not [text for texts in messages().values() for text in texts if text.startswith(("give ", "take "))]
    assert len(messages()) > 0.9 * len(rules())
