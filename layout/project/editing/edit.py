"""Changes to a project file as patches of its text: comments, order and style of everything else stay.

Every patch is checked: the new text must read as the old data with that one change, or the file is left alone.
"""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

from layout.project.editing import flowtext
from layout.project.editing.patch import Patcher
from layout.project.editing.writing import write_atomically
from layout.project.reading.nodes import compose
from layout.project.reading.short_forms import said_in_short, way_in_file
from layout.project.reading.tree import Key, TableNode, dotted, file_place, plain_values, undotted

if TYPE_CHECKING:
    from pathlib import Path


class EditError(ValueError):
    """The change can't be made by patching the text; it has to be made by hand."""


def set_value(text: str, key: Key, value: object) -> str:
    """Set the value at a key, adding the key (and tables above it) where it is missing.

    Parameters
    ----------
    text
        The file's text.
    key
        Way to the value, such as ``("devices", "radio", "pin")``.
    value
        Plain data. A table replaces a table key by key, so that comments within it stay.

    Returns
    -------
    str
        The new text.

    Raises
    ------
    EditError
        If the text is no usable YAML, or the entry is written in a way that can't be patched (an alias, say).
    """
    data = _data(text)
    wanted = copy.deepcopy(data)
    _put(wanted, key, _read_back(value))
    return _checked(_set(text, key, value, data), wanted, key)


def add_item(text: str, key: Key, value: object) -> str:
    """Append an item to the list at a key; a missing list is made.

    Raises
    ------
    EditError
        As ``set_value``; also if there is no list at the key.
    """
    data = _data(text)
    found = _get(data, key)
    if found is None:
        return set_value(text, key, [value])
    if not isinstance(found, list):
        raise EditError(f"'{dotted(key)}' is no list")
    patched = Patcher(text).append(key, flowtext.flow(value))
    found.append(_read_back(value))
    return _checked(patched, data, key)


def remove(text: str, key: Key) -> str:
    """Remove an entry of a table or an item of a list; one that is not there is no fault.

    Raises
    ------
    EditError
        As ``set_value``.
    """
    data = _data(text)
    owner, last = _get(data, key[:-1]), key[-1]
    if isinstance(owner, list) and isinstance(last, int) and last < len(owner):
        patched = Patcher(text).remove_item(key)
        del owner[last]
        return _checked(patched, data, key)
    if not isinstance(owner, dict) or last not in owner:
        return text
    patched = Patcher(text).remove(key)
    del owner[last]
    if not owner and len(key) > 1:
        _put(data, key[:-1], {})
    return _checked(patched, data, key)


def edit_project(path: Path, key: str, value: object) -> Path:
    """Set a value in whichever of a project's files holds the entry, and write that file.

    Parameters
    ----------
    path
        The project's own file.
    key
        Dotted: ``devices.radio.pin``.
    value
        Plain data; None removes the entry.

    Returns
    -------
    Path
        The file that was changed.

    Raises
    ------
    EditError
        If the files can't be read or the entry can't be patched.
    OSError
        If the file can't be written.
    """
    from layout.project.reading.include import read_files

    files = read_files(path)
    if files.tree is None:
        raise EditError(f"'{path.name}' can't be read; check it first")
    way, value = way_in_file(files.tree, undotted(files.tree, key), value)
    if (at := said_in_short(files.tree, way)) is not None:
        raise EditError(f"'{key}' is said in short ({at.file}, line {at.line}); change it there")
    target = path.parent / file_place(files.tree, way)[0].file
    raw = target.read_bytes().decode("utf-8")
    mark = "\ufeff" if raw.startswith("\ufeff") else ""
    text = raw.removeprefix(mark)
    ends_with_cr = "\r\n" in text and text.count("\n") == text.count("\r\n")  # a file of one kind stays of that kind
    plain_text = text.replace("\r\n", "\n") if ends_with_cr else text
    new = remove(plain_text, way) if value is None else set_value(plain_text, way, value)
    if new != plain_text:
        write_atomically(target, mark + (new.replace("\n", "\r\n") if ends_with_cr else new))
    return target


def _set(text: str, key: Key, value: object, data: Any) -> str:
    old = _get(data, key)
    if isinstance(value, dict) and value and isinstance(old, dict) and old:
        for name, entry in value.items():
            text = _set(text, (*key, str(name)), entry, data)
        for name in [name for name in old if name not in value]:
            text = Patcher(text).remove((*key, name))
        return text
    return Patcher(text).put(key, value)


def _data(text: str) -> Any:
    tree, findings = compose(text, "file")
    if findings or not isinstance(tree, TableNode):
        raise EditError(findings[0].message if findings else "the file holds no keys")
    return copy.deepcopy(plain_values(tree))


def _read_back(value: object) -> Any:
    tree, _ = compose(f"value: {flowtext.flow(value)}\n", "value")
    return plain_values(tree)["value"] if tree is not None else None


def _checked(patched: str, wanted: Any, key: Key) -> str:
    tree, findings = compose(patched, "file")
    if findings or tree is None or plain_values(tree) != wanted:
        raise EditError(f"'{dotted(key)}' is written in a way that can't be changed from here; change it by hand")
    return patched


def _get(data: Any, key: Key) -> Any:
    for step in key:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def _put(data: Any, key: Key, value: object) -> None:
    owner: Any = data
    for step in key[:-1]:
        inner = _get(owner, (step,))
        if inner is None and isinstance(owner, dict):
            inner = owner[step] = {}
        owner = inner
    try:
        owner[key[-1]] = value
    except (TypeError, IndexError):
        raise EditError(f"'{dotted(key[:-1])}' has no room for '{key[-1]}'") from None
