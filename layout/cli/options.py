"""Options and arguments that every command spells the same way."""

from __future__ import annotations

from pathlib import Path  # noqa: TC003  (typer reads the annotations at run time)
from typing import Annotated

import typer

ProjectFile = Annotated[Path, typer.Argument(metavar="FILE", help="The project's YAML file.", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result as JSON, for programs.")]
Quiet = Annotated[bool, typer.Option("--quiet", "-q", help="Print findings only.")]
OutDir = Annotated[Path, typer.Option("--out", "-o", metavar="DIR", help="Folder the documents go to.")]
Seed = Annotated[int, typer.Option("--seed", help="Same project and seed give the same arrangement.")]
Effort = Annotated[str, typer.Option("--effort", help="How long to look: quick, normal or thorough.")]

FINE, ERRORS, UNUSABLE = 0, 1, 2
"""Exit codes: nothing of severity error; findings of severity error; input not usable."""
