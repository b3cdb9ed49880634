"""Names of files in the folder of documents."""

from __future__ import annotations


def plain_name(name: str) -> str:
    """Return an id as part of a file name.

    >>> plain("house bank/+")
    'house-bank--'
    """
    return "".join(character if character.isalnum() or character in "-_" else "-" for character in name)
