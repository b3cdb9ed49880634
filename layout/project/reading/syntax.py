"""The YAML library's complaints in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding, Place

if TYPE_CHECKING:
    import yaml

_WORDS = (
    ("mapping values are not allowed", "a second colon in one entry, or a line above that lacks its own",
     "put text that holds a colon in quotes; check colons and indentation of the lines above"),
    ("could not find expected ':'", "a key without a colon after it", "write 'key: value', or check the indentation"),
    ("expected key", "this line does not fit the lines above it", "indent the keys of one table alike"),
    ("<block end>", "this line does not fit the lines above it", "indent the keys of one table alike"),
    ("expected '-' indicator", "this line does not fit the list above it", "start each item with '- ', indented alike"),
    ("block sequence entries are not allowed", "a list item where none can stand", "start lists on their own lines"),
    ("',' or ']'", "a list in [ ] without a comma or the closing bracket", "close the bracket, or add the comma"),
    ("',' or '}'", "a table in { } without a comma or the closing brace", "close the brace, or add the comma"),
    ("expected node content", "an entry is missing between brackets or commas", "fill it in, or delete the comma"),
    ("end of stream", "text in quotes that is never closed", "close the quotes"),
    ("document separator", "text in quotes that is never closed", "close the quotes"),
    ("escape", "an escape in double quotes that YAML does not know", "use single quotes, or write \\\\"),
    ("cannot start any token", "text that starts with a sign YAML keeps for itself", "put the text in quotes"),
)  # fmt: skip
"""Part of the library's message; what is wrong; what to do."""


def explained(error: yaml.MarkedYAMLError, text: str, name: str) -> Finding:
    """Turn a complaint of the YAML library into a located finding."""
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (0, 0)
    opened = error.context_mark
    related: tuple[Place, ...] = ()
    if opened and mark and (opened.line, opened.column) != (mark.line, mark.column):
        related = (Place(name, opened.line + 1, opened.column + 1),)
    lines = text.splitlines()
    here = lines[line - 1] if 0 < line <= len(lines) else ""
    problem = error.problem or "unknown fault"
    indent = here[: len(here) - len(here.lstrip())]
    if "\t" in indent or here[column - 1 : column] == "\t":
        where = here.index("\t") + 1
        return Finding(
            rule="file 7",
            message=f"a tab in line {line}; YAML indents with spaces only",
            at=Place(name, line, where),
            remedy="replace the tab by spaces",
        )
    for part, message, remedy in _WORDS:
        if part in problem:
            return Finding(rule="file 6", message=message, at=Place(name, line, column), remedy=remedy, related=related)
    return Finding(
        rule="file 6", message=f"this can't be read as YAML: {problem}", at=Place(name, line, column), related=related
    )
