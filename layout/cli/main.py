"""The command ``spile``: one entry a command, each in a module of its own; heavy imports wait inside them."""

from __future__ import annotations

import typer

from layout.cli.commands import build, check, choose, measured, new, pages, pin, place, rules

app = typer.Typer(
    name="spile",
    help="Plan an instrument and breaker panel, cut it and wire it.",
    epilog="Isolate supplies first. AC work by a licensed person. Local codes win. Measure the printed scale.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
for command in (new.new, check.check, place.place, choose.choose, rules.rules, build.build, pages.template,
                pages.schedule, pages.printcheck, pages.overlay, pin.pin, measured.measured):  # fmt: skip
    app.command()(command)


@app.command()
def version() -> None:
    """Print the version."""
    from importlib.metadata import version as version_of  # noqa: PLC0415

    typer.echo(version_of("spile"))


def run() -> None:
    """Run the command line."""
    app()
