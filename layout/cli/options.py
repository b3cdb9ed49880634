"""Options and arguments that every command spells the same way."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

FARTHEST_MM = 1e5
"""No panel reaches as far; what is said beyond it, or is no number, is a slip."""


class EffortWord(StrEnum):
    """How long to look; the words of :class:`layout.placing.by_components.Effort`, so that help needs no solver."""

    QUICK = "quick"
    NORMAL = "normal"
    THOROUGH = "thorough"


ProjectPath = Annotated[Path, typer.Argument(metavar="FILE", help="The project's YAML file.", show_default=False)]
DeviceId = Annotated[str, typer.Argument(metavar="DEVICE", help="Id of the device.", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result as one JSON object, for programs.")]
Quiet = Annotated[bool, typer.Option("--quiet", "-q", help="Print findings only.")]
InLanguage = Annotated[
    str | None,
    typer.Option("--language", metavar="CODE", help="Say it in this language: en or de.", show_default=False),
]
OutDir = Annotated[Path, typer.Option("--out", "-o", metavar="DIR", help="Folder the documents go to.")]
Fresh = Annotated[bool, typer.Option("--fresh", help="Make every document again, also what nothing reached.")]
Seed = Annotated[
    int, typer.Option("--seed", min=0, max=2_147_483_647, help="Same project and seed give the same arrangement.")
]
EffortOption = Annotated[EffortWord, typer.Option("--effort", help="How long to look.")]

FINE, STOPS, UNUSABLE, FAULT, BROKEN_OFF = 0, 1, 2, 3, 130
"""Exit codes: nothing that stops; findings that stop; input or output not usable; a fault of spile; ended by Ctrl-C."""
