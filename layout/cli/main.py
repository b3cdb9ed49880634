"""The command ``spile``: each command is a module of its own; heavy imports wait inside them."""

from __future__ import annotations

import errno
import gc
import io
import os
import sys
from typing import Annotated, Any, NoReturn

import typer
from typer.core import TyperGroup

from layout.cli.commands import (
    arrange,
    bench,
    build,
    check,
    choose,
    compare,
    fits,
    log,
    move,
    new,
    pages,
    pin,
    prove,
    renew,
    repair,
    report,
    rules,
    trace,
    version,
    watch,
    words,
)
from layout.cli.options import BROKEN_OFF, FAULT, UNUSABLE
from layout.languages import Language, spoken
from layout.project.editing.lock import release

USAGE: type[Exception] = next(kind for kind in typer.BadParameter.__mro__ if kind.__name__ == "ClickException")
"""What the command-line library raises for words it can't use; it has no name of its own in every version."""

UNWRITABLE = (errno.EPIPE, errno.ENOSPC, errno.EBADF, errno.EIO, errno.EFBIG, errno.EDQUOT, errno.EROFS)
"""What the system says when standard output, or a file, can't take more."""


class Commands(TyperGroup):
    """The commands in the order they are declared; whatever happens in one, it ends with one of the exit codes."""

    def invoke(self, ctx: Any) -> Any:
        """Run a command."""
        try:
            with spoken(Language()):  # until the project is read, and it says another
                return super().invoke(ctx)
        except (typer.Exit, typer.Abort, USAGE):
            raise
        except KeyboardInterrupt:
            typer.echo("broken off; every file is whole", err=True)
            raise typer.Exit(BROKEN_OFF) from None
        except MemoryError as error:
            typer.echo(f"this machine gives too little memory: {error or 'a smaller project may do'}", err=True)
            raise typer.Exit(UNUSABLE) from None
        except OSError as error:
            if error.errno not in UNWRITABLE:
                self._fault(error)
            _give_up_output(error)
            raise typer.Exit(UNUSABLE) from None
        except Exception as error:
            self._fault(error)
        finally:
            release()

    def _fault(self, error: Exception) -> NoReturn:
        from layout.cli.fault_report import sentence, write_report

        typer.echo(sentence(write_report(error, sys.argv[1:])), err=True)
        raise typer.Exit(FAULT) from None


app = typer.Typer(
    name="spile",
    cls=Commands,
    help="Plan an instrument and breaker panel, cut it and wire it.",
    epilog="Isolate supplies first. AC work by a licensed person. Local codes win. Measure the printed scale.",
    no_args_is_help=True,
    add_completion=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
for command in (
    new.new, check.check, arrange.arrange, prove.prove, choose.choose, move.move, move.undo, fits.fits, rules.rules,
    words.words,
    bench.bench, compare.compare, watch.watch,
    build.build, pages.template, pages.schedule, pages.printcheck, pages.overlay, report.report,
    pin.pin, renew.renew, repair.repair,
    log.log,
    trace.trace, version.version,
):  # fmt: skip
    app.command()(command)


@app.callback()
def _before(
    _version: Annotated[
        bool, typer.Option("--version", callback=version.print_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Take what stands before the command."""


def _give_up_output(error: OSError) -> None:
    """Let nothing more be written: its reader has gone, which needs no word, or the disk it went to is full."""
    if error.errno != errno.EPIPE:
        typer.echo(f"the output can't be written: {(error.strerror or 'unknown reason').lower()}", err=True)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    sys.stdout = io.TextIOWrapper(io.FileIO(1, "w", closefd=False), encoding="utf-8")


def run() -> None:
    """Run the command line."""
    gc.set_threshold(3_000_000, 5, 5)  # a command is short: looking for rings of waste took a twentieth of it
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed before we began
            setattr(sys, name, io.TextIOWrapper(io.FileIO(os.devnull, "w"), encoding="utf-8"))
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")  # a terminal that lacks a sign is no reason to fail
    try:
        app()
    finally:
        try:
            sys.stdout.flush()
        except OSError as error:
            _give_up_output(error)
            sys.exit(UNUSABLE)
