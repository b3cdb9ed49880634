"""``spile version`` and ``spile --version``: which one this is."""

from __future__ import annotations

from layout.cli.options import AsJson
from layout.cli.voice import Voice


def version(as_json: AsJson = False) -> None:
    """Print the version.

    Example: spile version
    """
    from importlib.metadata import version as version_of

    voice = Voice(as_json=as_json)
    voice.data["version"] = version_of("spile")
    voice.line(voice.data["version"])
    voice.finish()


def print_version(asked: bool) -> None:
    """Print the version and end, if asked to."""
    if asked:
        version(as_json=False)
