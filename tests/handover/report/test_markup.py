"""Texts that would be more than texts stay texts."""

from __future__ import annotations

from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st

from layout.handover.report.markup import Markup, element, joined_markup

TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc")))


class Reader(HTMLParser):
    """What another parser finds: elements with their attributes, and all text."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.begun: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep an element."""
        self.begun.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        """Keep text."""
        self.text += data


@given(TEXTS, TEXTS)
def test_any_text_is_read_back_as_it_was(text: str, value: str) -> None:
    """Whatever a name holds, a parser finds one element, that text and that attribute."""
    reader = Reader()
    reader.feed(element("p", text, data_name=value))
    reader.close()
    assert reader.begun == [("p", {"data-name": value})]
    assert reader.text == text


def test_markup_stands_as_it_is_and_text_does_not() -> None:
    """The twin: only what was made as markup is put in unescaped."""
    assert joined_markup([Markup("<b>x</b>"), "<b>x</b>"], ", ") == "<b>x</b>, &lt;b&gt;x&lt;/b&gt;"
