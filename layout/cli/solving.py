"""Placing from the command line: with a live line, and an early end that keeps the best so far."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.cli.interrupt import early_end

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.cli.options import EffortWord
    from layout.cli.session import Session
    from layout.cli.voice import Voice
    from layout.flow import Arranged
    from layout.placing.engine.stage_result import Progress


def solve(
    voice: Voice,
    session: Session,
    *,
    seed: int,
    effort: EffortWord,
    keep: Sequence[str] = (),
    alternatives: int = 1,
    loss: float = 0.15,
    seconds: float = 0.0,
) -> Arranged:
    """Place a project's devices; the first Ctrl-C, or the end of ``seconds`` (0 is no limit), keeps the best so far."""
    from layout import flow
    from layout.placing.by_components import Effort
    from layout.placing.time_limit import TimeLimit
    from layout.placing.words import progress_words

    with early_end() as is_asked:

        def watch(progress: Progress) -> bool:
            voice.progress(f"placing: {progress_words(progress)} (Ctrl-C keeps the best so far)")
            return False

        voice.progress("placing")
        stop = TimeLimit(seconds, is_asked) if seconds else is_asked
        return flow.arrange(
            session.project, session.register, seed=seed, effort=Effort(effort.value), keep=keep,
            alternatives=alternatives, loss=loss, progress=watch, stop=stop,
        )  # fmt: skip
