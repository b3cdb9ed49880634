"""Text to tree."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.project.editing.flowtext import flow
from layout.project.reading.nodes import MOST_DEPTH, MOST_ENTRIES, compose, scalar
from layout.project.reading.tree import TableNode, dotted, file_place, file_places, find, leaves, plain_values, undotted


def read(text: str) -> object:
    """Return the plain data of a text that must be fine."""
    tree, findings = compose(text, "file.yaml")
    assert findings == []
    assert tree is not None
    return plain_values(tree)


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("no", "no"),
        ("on", "on"),
        ("Yes", "Yes"),
        ("TRUE", "TRUE"),
        ("12:30", "12:30"),
        ("2026-11-25", "2026-11-25"),
        ("1e3", "1e3"),
        ("0x1F", "0x1F"),
        ("0o17", "0o17"),
        ("017", "017"),
        ("1_000", "1_000"),
        (".inf", ".inf"),
        (".nan", ".nan"),
        ("=", "="),
        ("2.5 mm2", "2.5 mm2"),
        ("9" * 16, "9" * 16),
        ("12", 12),
        ("+3", 3),
        ("-0", 0),
        ("1.50", 1.5),
        (".5", 0.5),
        ("5.", 5.0),
        ("true", True),
        ("false", False),
        ("null", None),
        ("~", None),
        ("", None),
        ("'12'", "12"),
        ('"true"', "true"),
        ("'~'", "~"),
    ],
)
def test_scalars_mean_what_people_mean(written: str, value: object) -> None:
    """Only plain decimals, true, false and nothing are anything but text; quoted is always text."""
    found = read(f"key: {written}\n")
    assert found == {"key": value}
    assert type(found["key"]) is type(value)


def test_keys_are_text_as_written() -> None:
    """A key is a name, whatever it looks like."""
    assert read("1: a\nno: b\n2.50 mm2: c\ntrue: d\n") == {"1": "a", "no": "b", "2.50 mm2": "c", "true": "d"}


def test_aliases_repeat_an_entry() -> None:
    """An alias stands for the entry it names, any number of times."""
    assert read("a: &x {b: [1, 2]}\nc: *x\nd: [*x, *x]\n")["d"] == [{"b": [1, 2]}] * 2


def test_depth_limit_is_exact() -> None:
    """As many lists inside one another as allowed are read, one more is refused."""
    assert compose("[" * MOST_DEPTH + "]" * MOST_DEPTH, "f")[1] == []
    assert [fault.rule for fault in compose("[" * (MOST_DEPTH + 1) + "]" * (MOST_DEPTH + 1), "f")[1]] == ["file 12"]


def test_expansion_limit_counts_aliases_written_out() -> None:
    """Many plain entries are fine; the same number by way of aliases counts as if it were written out."""
    used = 1 + 1 + 1000 + 2  # the table, the list a with its items, keys a and b
    fitting = (MOST_ENTRIES - used - 1) // 1000
    text = f"a: &a [{', '.join(['x'] * 999)}]\nb: [{', '.join(['*a'] * fitting)}]\n"
    assert compose(text, "f")[1] == []
    assert [fault.rule for fault in compose(text + "c: *a\n", "f")[1]] == ["file 10"]


TEXT = """\
# comment
panels:
  wall:
    holes: [3, {at: [1, 2]}]
    name: Wall
"""


def test_every_entry_knows_its_place() -> None:
    """A key stands where it is written, an item of a list where its value is; lines and columns count from 1."""
    tree, _ = compose(TEXT, "file.yaml")
    assert tree is not None
    found = {key: (at.line, at.column) for key, at in file_places(tree).items()}
    assert found == {
        "panels": (2, 1),
        "panels.wall": (3, 3),
        "panels.wall.holes": (4, 5),
        "panels.wall.holes.0": (4, 13),
        "panels.wall.holes.1": (4, 16),
        "panels.wall.holes.1.at": (4, 17),
        "panels.wall.holes.1.at.0": (4, 22),
        "panels.wall.holes.1.at.1": (4, 25),
        "panels.wall.name": (5, 5),
    }


def test_missing_entry_is_located_at_its_owner() -> None:
    """What is not written is placed at the nearest entry above it that is."""
    tree, _ = compose(TEXT, "file.yaml")
    assert tree is not None
    at, related = file_place(tree, ("panels", "wall", "depth", "at"))
    assert (at.line, at.column, at.key, related) == (3, 3, "panels.wall.depth.at", ())


def test_dotted_keys_read_back() -> None:
    """A dotted key finds its entry again, also where a name holds a dot or an index is meant."""
    tree, _ = compose("cables: {single: {sizes: {2.5 mm2: 3.6}}}\nlist: [a, b]\n", "file.yaml")
    assert tree is not None
    for key, leaf in leaves(tree):
        assert undotted(tree, dotted(key)) == key
        assert find(tree, key) is leaf


def test_repeated_key_keeps_the_first() -> None:
    """A key that stands twice is a fault with both places, and the first value stays."""
    tree, findings = compose("a: 1\nb: 2\na: 3\n", "f")
    assert tree is not None
    assert plain_values(tree) == {"a": 1, "b": 2}
    assert [(fault.rule, fault.at.line, fault.related[0].line) for fault in findings] == [("file 9", 3, 1)]


names = st.text("abcdefg _-", min_size=1, max_size=6)
words = st.text(st.characters(exclude_categories=("Cs",)), max_size=12)
numbers = st.integers(-(10**9), 10**9) | st.floats(-1e9, 1e9).map(lambda value: round(value, 6))
data = st.recursive(
    st.none()
    | st.booleans()
    | numbers
    | words
    | st.sampled_from(["no", "on", "12:30", "1e3", "y", "null", "- a", "#"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(names, inner, max_size=4),
    max_leaves=20,
)


@given(st.dictionaries(names, data, max_size=5))
def test_flow_text_reads_as_itself(value: dict[str, object]) -> None:
    """What is written in flow style reads as the data it was."""
    tree, findings = compose(flow(value), "f")
    assert findings == []
    assert isinstance(tree, TableNode)
    assert plain_values(tree) == value


@given(st.text(max_size=80))
def test_any_text_gives_a_tree_or_a_finding(text: str) -> None:
    """Whatever text comes in, there is a tree, or a finding that says why not."""
    from layout.project.reading.source import Source, decoded

    source = decoded(text.encode("utf-8", "surrogatepass"), "f")
    if isinstance(source, Source):
        tree, findings = compose(source.text, "f")
        assert (tree is not None) or findings


@given(st.text(max_size=12))
def test_plain_scalars_keep_their_text_or_become_numbers(text: str) -> None:
    """A scalar is its own text unless it is one of the few plain forms."""
    value = scalar(text, plain=True)
    assert value == text or value is None or isinstance(value, bool | int | float)
    assert scalar(text, plain=False) == text


def test_the_limit_speaks_of_aliases_only_where_there_are_some() -> None:
    """A file of too many entries is told to be split; one whose aliases make it so, to use fewer of them."""
    many = "a: [" + "0," * 200_000 + "]\n"
    tree, findings = compose(many, "file.yaml")
    assert tree is None
    assert [(one.rule, one.message) for one in findings] == [("file 3", "more than 200000 entries in one file")]
    rows = "a: &a [" + "0," * 1_000 + "]\n" + "b: [" + "*a," * 200 + "]\n"
    tree, findings = compose(rows, "file.yaml")
    assert tree is None
    assert [(one.rule, one.message) for one in findings] == [
        ("file 10", "more than 200000 entries with aliases written out")
    ]
