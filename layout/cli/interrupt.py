"""Ctrl-C during long work: the first asks for an early end that keeps the best so far, the second ends at once."""

from __future__ import annotations

import signal
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


@contextmanager
def early_end() -> Iterator[Callable[[], bool]]:
    """Give a function that says whether the user asked for an early end.

    Only the main thread hears signals; in another one the answer is always no.
    """
    asked = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield asked.is_set
        return
    before = signal.getsignal(signal.SIGINT)

    def hear(*_: object) -> None:
        asked.set()
        signal.signal(signal.SIGINT, before)

    signal.signal(signal.SIGINT, hear)
    try:
        yield asked.is_set
    finally:
        signal.signal(signal.SIGINT, before)
