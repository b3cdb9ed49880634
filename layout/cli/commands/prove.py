"""``spile prove``: how near the best the chosen arrangement is."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from layout.cli.interrupt import early_end
from layout.cli.options import AsJson, ProjectPath, Quiet, Seed
from layout.cli.session import open_project
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from layout.placing.engine.stage_result import Progress


def prove(file: ProjectPath, seed: Seed = 1, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Prove how near the best the arrangement is.

    Takes minutes, and is never needed to cut or to wire. A better arrangement that is met on the way becomes proposal
    1. Ctrl-C keeps what is proven so far.

    Example: spile prove panel.yaml
    """
    from layout.placing.how_near import prove_how_near
    from layout.placing.words import progress_words, proof_words

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="prove")
    chosen = session.register.arrangement
    if chosen is None:
        voice.refuse("there is no arrangement to prove anything of", remedy=f"run: spile arrange {file}")
    with early_end() as is_asked:
        voice.progress("proving")

        def watch(progress: Progress) -> bool:
            voice.progress(f"proving: {progress_words(progress)} (Ctrl-C keeps what is proven)")
            return False

        found = prove_how_near(session.project, chosen, seed=seed, progress=watch, stop=is_asked)
    if found is None:
        voice.refuse(
            "the arrangement is not one that placing allows now, so nothing can be proven of it",
            remedy=f"run: spile arrange {file}",
        )
    register = session.register.with_arrangement(found.arrangement)
    voice.data["arrangement"] = asdict(found.arrangement)
    voice.line(f"Proven: {proof_words(found.arrangement)}.")
    if found.better is not None:
        register = register.with_proposals((found.better,))
        better = f"{found.better.value:g} instead of {found.arrangement.value:g}"
        voice.line(f"A better one was met on the way ({better}). To take it: spile choose {file} 1")
    session.save(register, voice)
    voice.finish(session.findings, session.sources)
