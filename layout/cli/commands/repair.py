"""``spile repair``: a damaged register, rebuilt from what is sound."""

from __future__ import annotations

from layout.cli.options import AsJson, ProjectPath, Quiet
from layout.cli.session import files_of
from layout.cli.voice import Voice


def repair(file: ProjectPath, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Rebuild a damaged register and say what is lost.

    What is sound in it is joined with the last good copy; the damaged file is kept under another name.

    Example: spile repair panel.yaml
    """
    from layout.project.editing.lock import HeldError, hold
    from layout.project.editing.writing import drop_leftovers
    from layout.project.register import register_path
    from layout.project.repair import repair as repaired

    voice = Voice(as_json=as_json, quiet=quiet)
    path = register_path(file)
    if not path.exists():
        voice.refuse(f"there is no register '{path.name}' to repair", remedy="name the project's file")
    try:
        hold(file, "spile repair")
        drop_leftovers(files_of(file))
        done = repaired(path)
    except HeldError as error:
        voice.refuse(str(error), remedy="wait until it has ended, then run this again", rule="file 96")
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        voice.refuse(f"'{path}' can't be repaired: {reason}", remedy="check its folder", rule="file 92")
    if done.register is None:
        if done.findings:
            voice.stop(done.findings)
        voice.line("The register is whole: nothing to repair.")
        voice.finish()
    voice.line(f"Rebuilt: {len(done.register.numbers)} wire numbers, {len(done.register.labels)} labels.")
    if done.damaged is not None:
        voice.line(f"The damaged file is kept as {done.damaged.name}.")
        voice.files([path, done.damaged])
    voice.finish(done.findings)
