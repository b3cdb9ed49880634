"""Paragraphs of plain text."""

from __future__ import annotations

from xml.sax.saxutils import escape

from hypothesis import given
from hypothesis import strategies as st
from reportlab.platypus import Paragraph

from layout.handover.paper.styles import style, text

PLAIN = st.text(st.characters(codec="latin-1"), max_size=60)
WORDS = st.lists(st.text("aiW-.0", min_size=1, max_size=12), min_size=1, max_size=12).map(" ".join)


@given(content=PLAIN | WORDS, width=st.floats(20, 200))
def test_plain_text_is_what_the_parser_makes_of_it(content, width):
    """Whether a text is parsed or not: the same pieces, and the same lines at any width, also asked twice."""
    parsed = Paragraph(escape(content).replace("\n", "<br/>"), style(1.8))
    made = text(content)
    assert [vars(piece) for piece in made.frags] == [vars(piece) for piece in parsed.frags]
    size = parsed.wrap(width, 1000)
    assert (made.wrap(width, 1000), made.wrap(width, 1000), made.wrap(width / 2, 1000)[0]) == (size, size, width / 2)
    assert made.wrap(width, 1000) == size
    if made.is_plain:  # the others are the library's own, whose lines of several pieces equal nothing but themselves
        assert vars(made.blPara) == vars(parsed.blPara)
