"""A limit on the wall clock, for who sets one: the only thing in placing that may make two runs differ."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


class TimeLimit:
    """Asked like any ``stop``: True once so many seconds have gone by, or when the other asks for an end.

    Attributes
    ----------
    struck
        Whether the clock asked for the end.
    """

    def __init__(self, seconds: float, stop: Callable[[], bool] | None = None) -> None:
        self._deadline, self._stop = time.monotonic() + seconds, stop
        self.struck = False

    def __call__(self) -> bool:
        """Say whether to stop."""
        if self._stop is not None and self._stop():
            return True
        self.struck = self.struck or time.monotonic() > self._deadline
        return self.struck
