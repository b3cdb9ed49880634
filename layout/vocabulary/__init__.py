"""The words a project is written in: purposes, types, rules and wishes, keys, findings; gathered and searched."""

from layout.vocabulary.gather import KINDS, Word, words
from layout.vocabulary.search import search

__all__ = ["KINDS", "Word", "search", "words"]
