"""Pages as Chromium shows them: started headless, steered over a pipe, pictures taken until they stand still."""

from __future__ import annotations

import base64
import contextlib
import io
import json
import os
import select
import signal
import subprocess
import sys
import time
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
    "--remote-debugging-pipe",
)  # fmt: skip
PATIENCE_S = 60.0


class Browser:
    """One Chromium; commands go in on its descriptor 3, answers come out on its descriptor 4, each ended by NUL."""

    def __init__(self, into: int, out: int) -> None:
        self._into, self._out, self._rest, self._number = into, out, b"", 0

    def ask(self, method: str, session: str = "", **parameters: Any) -> dict[str, Any]:
        """Send one command and return its result, events in between passed over."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": parameters}
        if session:
            message["sessionId"] = session
        os.write(self._into, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            answer = self._next(until)
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']['message']}")
                result: dict[str, Any] = answer["result"]
                return result
        raise TimeoutError(method)

    def _next(self, until: float) -> dict[str, Any]:
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._out], [], [], max(0.0, until - time.monotonic()))
            part = os.read(self._out, 1 << 20) if ready else b""
            if not part:
                raise TimeoutError("no answer from the browser")
            self._rest += part
        head, _, self._rest = self._rest.partition(b"\0")
        found: dict[str, Any] = json.loads(head)
        return found

    def picture(self, address: str, *, wide: int, tall: int, density: float = 1.0) -> np.ndarray:
        """Return a page in grey, taken once two pictures in a row are alike and show something."""
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        session = self.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        self.ask("Emulation.setDeviceMetricsOverride", session, width=wide, height=tall, deviceScaleFactor=density,
                 mobile=False)  # fmt: skip
        self.ask("Page.navigate", session, url=address)
        before = None
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            time.sleep(0.4)
            data = self.ask("Page.captureScreenshot", session, format="png")["data"]
            image = np.asarray(Image.open(io.BytesIO(base64.b64decode(data))).convert("L"), dtype=float)
            if before is not None and np.array_equal(image, before) and (image > 250).mean() > 0.3:
                return image
            before = image
        raise TimeoutError(f"{address} never stood still")


@contextlib.contextmanager
def browser(folder: Path) -> Iterator[Browser]:
    """Start Chromium with an empty profile in a folder, and end it with all it started."""
    theirs_in, ours_in = os.pipe()
    ours_out, theirs_out = os.pipe()
    # Both ends go where the browser expects them, first out of the way of each other.
    script = (
        "import fcntl, os, sys; read, write = (fcntl.fcntl(int(end), fcntl.F_DUPFD, 10) for end in sys.argv[1:3]); "
        "os.dup2(read, 3); os.dup2(write, 4); os.execvp(sys.argv[3], sys.argv[3:])"
    )
    options = [*FLAGS, f"--user-data-dir={folder / 'profile'}", "about:blank"]
    command = [sys.executable, "-c", script, str(theirs_in), str(theirs_out), "chromium", *options]
    quiet = subprocess.DEVNULL
    with subprocess.Popen(
        command, pass_fds=(theirs_in, theirs_out), start_new_session=True, stdout=quiet, stderr=quiet
    ) as process:
        os.close(theirs_in)
        os.close(theirs_out)
        try:
            yield Browser(ours_in, ours_out)
        finally:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
            os.close(ours_in)
            os.close(ours_out)
