"""The command ``spile``: each command is a module of its own; heavy imports wait inside them."""

from __future__ import annotations

import io
import sys
from typing import Any

import typer
from typer.core import TyperGroup

from layout.cli.commands import build, check, choose, fits, measured, new, pages, pin, place, rules, version
from layout.cli.options import BROKEN_OFF


class Commands(TyperGroup):
    """The commands in the order they are declared; one that is broken off ends with an exit code of its own."""

    def invoke(self, ctx: Any) -> Any:
        """Run a command."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            typer.echo("broken off; every file is whole", err=True)
            raise typer.Exit(BROKEN_OFF) from None


app = typer.Typer(
    name="spile",
    cls=Commands,
    help="Plan an instrument and breaker panel, cut it and wire it.",
    epilog="Isolate supplies first. AC work by a licensed person. Local codes win. Measure the printed scale.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
for command in (
    new.new, check.check, place.place, choose.choose, fits.fits, rules.rules, build.build, pages.template,
    pages.schedule, pages.printcheck, pages.overlay, pin.pin, measured.measured, version.version,
):  # fmt: skip
    app.command()(command)


def run() -> None:
    """Run the command line."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")  # a terminal that lacks a sign is no reason to fail
    app()
