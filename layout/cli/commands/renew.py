"""``spile renew``: rewrite a project of the old words in the words of today."""

from __future__ import annotations

from layout.cli.options import AsJson, ProjectPath, Quiet
from layout.cli.voice import Voice


def renew(file: ProjectPath, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Rewrite a project of an older form in the words of today.

    The file and all that it includes are changed in place; comments, order and line ends stay.

    Example: spile renew panel.yaml
    """
    from layout.project.editing.edit import EditError
    from layout.project.editing.lock import HeldError, hold
    from layout.project.editing.renew import renew as renewed

    voice = Voice(as_json=as_json, quiet=quiet)
    try:
        hold(file, "spile renew")
        done = renewed(file)
    except HeldError as error:
        voice.refuse(str(error), remedy="wait until it has ended, then run this again", rule="file 96")
    except EditError as error:
        voice.refuse(str(error), remedy="mend that first; nothing was changed", rule="file 93")
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        voice.refuse(f"'{file}' can't be written: {reason}", remedy="check its folder", rule="file 92")
    voice.files([one.file for one in done])
    for one in done:
        voice.line(f"{one.file.name}: {', '.join(one.words) or 'the number of the form'}")
    if not done:
        voice.line("Nothing to renew: the file is in the words of today.")
    voice.finish()
