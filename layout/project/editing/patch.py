"""Where in a text an entry stands, and the text with that piece changed; knows YAML's shape, not its meaning."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import yaml

from layout.project.editing import flowtext

if TYPE_CHECKING:
    from layout.project.reading.tree import Key

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_BREAK = re.compile("\r\n|[\r\n\x85\u2028\u2029]")


class Patcher:
    """One text with its node tree; each method returns a new text."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._starts = [0, *(found.end() for found in _BREAK.finditer(text))]
        self._newline = "\r\n" if "\r\n" in text else "\n"
        self._root: Any = yaml.compose(text, Loader=_LOADER)

    def put(self, key: Key, value: object) -> str:
        """Set a value, making what is missing above it."""
        depth, node = self._deepest(key)
        rest = key[depth:]
        if not rest:
            return self._replaced(key, node, flowtext.flow(value))
        for step in reversed(rest[1:]):
            value = {step: value}
        pair = f"{flowtext.flow_text(str(rest[0]))}: {flowtext.flow(value)}"
        if isinstance(node, yaml.ScalarNode):
            return self._replaced(key[:depth], node, "{" + pair + "}")
        if node.flow_style:
            return self._before_bracket(node, pair)
        return self._after_block(node, pair)

    def append(self, key: Key, item: str) -> str:
        """Add an item at the end of a list."""
        _, node = self._deepest(key)
        if node.flow_style:
            return self._before_bracket(node, item)
        return self._after_block(node, f"- {item}")

    def remove(self, key: Key) -> str:
        """Take an entry of a table out, with its line if it has one to itself."""
        _, owner = self._deepest(key[:-1])
        pairs = owner.value
        index = next(i for i, (name, _) in enumerate(pairs) if name.value == key[-1])
        name, value = pairs[index]
        start, end = self._at(name.start_mark), self._end(value)
        if owner.flow_style:
            if index + 1 < len(pairs):
                end = self._at(pairs[index + 1][0].start_mark)
            elif index > 0:
                start = self._end(pairs[index - 1][1])
            return self._text[:start] + self._text[end:]
        if len(pairs) == 1:
            return self._text[:start] + "{}" + self._text[end:]
        end = self._line_end(end)
        if index + 1 < len(pairs) and self._line(start) == self._line(end):
            end = min(end, self._at(pairs[index + 1][0].start_mark))
        begin = self._starts[self._line(start)]
        if self._text[begin:start].strip():  # the entry starts in a list item's line: "- key: value"
            return self._text[:start] + self._text[self._at(pairs[index + 1][0].start_mark) :]
        return self._text[:begin] + self._text[self._after_break(end) :]

    def remove_item(self, key: Key) -> str:
        """Take an item of a list out, with its lines in a block list."""
        _, owner = self._deepest(key[:-1])
        items, index = owner.value, int(key[-1])
        if len(items) == 1:
            start, end = self._at(owner.start_mark), self._end(owner)
            return self._text[:start] + "[]" + self._text[end:]
        start, end = self._at(items[index].start_mark), self._end(items[index])
        if owner.flow_style:
            if index + 1 < len(items):
                end = self._at(items[index + 1].start_mark)
            else:
                start = self._end(items[index - 1])
            return self._text[:start] + self._text[end:]
        dash = self._text.rindex("-", 0, start)
        begin = self._starts[self._line(dash)]
        return self._text[:begin] + self._text[self._after_break(self._line_end(end)) :]

    def _deepest(self, key: Key) -> tuple[int, Any]:
        node = self._root
        for depth, step in enumerate(key):
            inner = _child(node, step)
            if inner is None:
                return depth, node
            node = inner
        return len(key), node

    def _replaced(self, key: Key, node: Any, written: str) -> str:
        _, owner = self._deepest(key[:-1])
        start, end = self._at(node.start_mark), self._end(node)
        if isinstance(owner, yaml.MappingNode):
            name = next(name for name, value in owner.value if value is node)
            colon = self._text.index(":", self._end(name)) + 1
            if self._text[colon:start].strip(" ") or start == colon:  # a block below its key, or nothing at all
                start, written = colon, f" {written}"
                end = max(end, colon)
        return self._text[:start] + written + self._text[end:]

    def _before_bracket(self, node: Any, piece: str) -> str:
        close = self._at(node.end_mark) - 1
        if not node.value:
            return self._text[:close].rstrip(" ") + piece + self._text[close:]
        last = node.value[-1][1] if isinstance(node, yaml.MappingNode) else node.value[-1]
        end = self._end(last)
        return f"{self._text[:end]}, {piece}{self._text[end:]}"

    def _after_block(self, node: Any, piece: str) -> str:
        first = node.value[0][0] if isinstance(node, yaml.MappingNode) else node
        column = first.start_mark.column
        end = self._line_end(self._end(node))
        return f"{self._text[:end]}{self._newline}{' ' * column}{piece}{self._text[end:]}"

    def _at(self, mark: Any) -> int:
        start: int = self._starts[mark.line]
        return start + int(mark.column)

    def _end(self, node: Any) -> int:
        """Return where an entry's own text ends; a block's end mark lies at the next entry."""
        if isinstance(node, yaml.ScalarNode):
            end = self._at(node.end_mark)
            if node.style in ("|", ">"):
                end = self._at(node.start_mark) + len(self._text[self._at(node.start_mark) : end].rstrip())
            return end
        if node.flow_style or not node.value:
            return self._at(node.end_mark)
        return self._end(node.value[-1][1] if isinstance(node, yaml.MappingNode) else node.value[-1])

    def _line(self, offset: int) -> int:
        line = len(self._starts) - 1
        while self._starts[line] > offset:
            line -= 1
        return line

    def _line_end(self, offset: int) -> int:
        found = _BREAK.search(self._text, offset)
        return found.start() if found else len(self._text)

    def _after_break(self, offset: int) -> int:
        found = _BREAK.match(self._text, offset)
        return found.end() if found else offset


def _child(node: Any, step: str | int) -> Any:
    if isinstance(node, yaml.MappingNode):
        return next((value for name, value in node.value if name.value == step), None)
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
        return node.value[step]
    return None
