"""The bench's page and its JSON interface, for this machine alone.

Every address begins with a random token. Requests with another Host, another Origin or too long a body are refused, and
nothing but the project's own files and the page's is read or written.
"""

from __future__ import annotations

import asyncio
import json
import secrets
import threading
from typing import TYPE_CHECKING, Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route

from layout.bench.acts import acts_of, figure_of, text_of
from layout.bench.free_places import free_places
from layout.bench.open_files import RefusedError
from layout.bench.page_files import page_part, page_text
from layout.bench.photograph_laid import picture_data, pictures_data
from layout.bench.picture import panels_with, photograph
from layout.bench.shelf import shelf_data
from layout.bench.spoken_answers import in_words
from layout.languages import spoken
from layout.project.spoken_language import language_of

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable, Mapping

    from starlette.requests import Request
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

    from layout.bench.workbench import Workbench
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.project.register import Register

MOST_BODY = 64_000
"""Bytes of a request; a move needs a hundred."""
HEADERS = {
    "Content-Security-Policy": "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; "
    "frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}
_LOOK_S = 0.3
"""How often the page is told of what changed; it changes no result."""
GONE_S = 2.0
"""How long a page may be away before what it asked for is stopped."""


def new_token() -> str:
    """Return a random word that the page's address begins with."""
    return secrets.token_urlsafe(18)


def bench_app(
    bench: Workbench, *, token: str, hosts: tuple[str, ...], closing: Callable[[], bool] = lambda: False
) -> ASGIApp:
    """Return the application.

    Parameters
    ----------
    token
        First part of every path.
    hosts
        What ``Host`` may say, with the port: ``127.0.0.1:8000``.
    closing
        Whether the server is about to end; pages that still listen are let go then.
    """
    desk = _Desk(bench, closing)
    base = f"/{token}"
    app = Starlette(
        routes=[
            Route(f"{base}/", desk.page),
            Route(f"{base}/api/state", desk.state),
            Route(f"{base}/api/look", desk.look, methods=["POST"]),
            Route(f"{base}/api/do", desk.do, methods=["POST"]),
            Route(f"{base}/api/wiring", desk.wiring),
            Route(f"{base}/api/proposal/{{number:int}}", desk.proposal),
            Route(f"{base}/api/remedy/{{number:int}}", desk.remedy),
            Route(f"{base}/api/places/{{device}}", desk.places),
            Route(f"{base}/api/best", desk.best),
            Route(f"{base}/api/shelf", desk.shelf),
            Route(f"{base}/api/pane/{{name}}", desk.pane),
            Route(f"{base}/api/sides", desk.sides),
            Route(f"{base}/api/compare", desk.compare, methods=["POST"]),
            Route(f"{base}/api/photograph/{{panel}}", desk.photograph),
            Route(f"{base}/api/pictures", desk.pictures),
            Route(f"{base}/api/picture/{{name:path}}", desk.picture),
            Route(f"{base}/api/events", desk.events),
            Route(f"{base}/api/document/{{name:path}}", desk.document),
            Route(f"{base}/{{name}}", desk.part),
        ]
    )
    return _Guarded(app, hosts=frozenset(hosts))


class _Guarded:
    """Refuses what does not come from the page itself, before anything is looked at."""

    def __init__(self, app: ASGIApp, *, hosts: frozenset[str]) -> None:
        self.app, self.hosts = app, hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {key.decode("latin-1"): value.decode("latin-1") for key, value in scope["headers"]}
        refusal = self._refusal(scope["method"], headers)
        if refusal is not None:
            await refusal(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [
                    *message.get("headers", []), *((k.lower().encode(), v.encode()) for k, v in HEADERS.items()),
                ]  # fmt: skip
            await send(message)

        await self.app(scope, receive, with_headers)

    def _refusal(self, method: str, headers: Mapping[str, str]) -> Response | None:
        if headers.get("host", "") not in self.hosts:
            return PlainTextResponse("this page is for the machine it runs on", status_code=421)
        origin = headers.get("origin")
        if origin is not None and origin.removeprefix("http://") not in self.hosts:
            return PlainTextResponse("asked for by another page", status_code=403)
        if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return PlainTextResponse("asked for by another page", status_code=403)
        if method == "POST" and not headers.get("content-type", "").startswith("application/json"):
            return PlainTextResponse("JSON is asked for", status_code=415)
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_BODY or "transfer-encoding" in headers:
            return PlainTextResponse("too long", status_code=413)
        return None


class _Desk:
    """The routes; one thing at a time is done to the project."""

    def __init__(self, bench: Workbench, closing: Callable[[], bool] = lambda: False) -> None:
        self.bench = bench
        self.closing = closing
        self.lock = threading.Lock()
        self.ready: threading.Thread | None = None
        self.watching = 0
        self.acts = acts_of(bench)

    async def page(self, _request: Request) -> Response:
        """Give the page, with its own words in the project's language laid into it."""
        return HTMLResponse(page_text(language_of(self.bench.project).code))

    async def part(self, request: Request) -> Response:
        """Give a part of the page."""
        part = page_part(request.path_params["name"])
        if part is None:
            return PlainTextResponse("there is no such part", status_code=404)
        return Response(part[0], media_type=part[1])

    async def state(self, _request: Request) -> Response:
        """Give the panels with all shapes, what the judge says, what may be taken back, proposals, the placing."""
        answer = await self._answer(self.bench.state)
        if self.ready is None:
            self.ready = threading.Thread(target=_get_ready, daemon=True)
            self.ready.start()
        return answer

    async def look(self, request: Request) -> Response:
        """Say what the judge finds of ``device`` at ``x``, ``y`` (and ``turn``), without moving it."""
        asked = await _body(request)
        if asked is None:
            return _refused("that is no JSON object")

        def judged() -> Any:
            turn = int(figure_of(asked, "turn")) if asked.get("turn") is not None else None
            return {
                "findings": self.bench.look(
                    text_of(asked, "device"), figure_of(asked, "x"), figure_of(asked, "y"), turn
                )
            }

        return await self._answer(judged)

    async def do(self, request: Request) -> Response:
        """Do what ``do`` names and give the state; with ``version``, only if nothing changed since."""
        asked = await _body(request)
        act = self.acts.get(str(asked.get("do"))) if asked is not None else None
        if asked is None or act is None:
            return _refused("there is nothing of that name to do")

        def done() -> Any:
            self.bench.renew()
            if asked.get("version") not in (None, self.bench.version):
                raise RefusedError("the project was changed elsewhere meanwhile; look at it and do it again")
            act(asked)
            return self.bench.state()

        return await self._answer(done)

    async def wiring(self, _request: Request) -> Response:
        """Give runs, places, wireways and every finding of the whole plan, as ``spile check --json`` tells them."""
        from layout.bench.wiring import wiring_data

        return await self._answer(lambda: wiring_data(self.bench.plan()))

    async def proposal(self, request: Request) -> Response:
        """Give every panel as a proposal of the last placing has it."""
        number = request.path_params["number"]
        return await self._answer(lambda: {"panels": self.bench.proposal(number)})

    async def remedy(self, request: Request) -> Response:
        """Give every panel as a single change that was offered would have it."""
        number = request.path_params["number"]
        return await self._answer(lambda: {"panels": self.bench.remedy(number).picture})

    async def places(self, request: Request) -> Response:
        """Give the places on every panel that are free for a device."""
        device = request.path_params["device"]

        def standing() -> tuple[Project, Arrangement]:
            self.bench.renew()
            return self.bench.project, self.bench.arrangement

        return await self._answer(standing, then=lambda now: free_places(now[0], now[1], device))

    async def shelf(self, _request: Request) -> Response:
        """Give what there is to take from the catalogue, and what the form of a new device asks."""
        return await self._answer(lambda: shelf_data(self.bench))

    async def best(self, _request: Request) -> Response:
        """Give every panel as the placing that goes on has it best so far."""

        def so_far() -> Any:
            solve = self.bench.solve
            if solve is None or not solve.best:
                raise RefusedError("there is no picture yet")
            return {"panels": panels_with(self.bench.project, solve.best), "pictures": solve.pictures}

        return await self._answer(so_far)

    async def pane(self, request: Request) -> Response:
        """Give what the pane of that name shows beside the panel."""
        from layout.bench.panes import pane_data

        name = request.path_params["name"]
        return await self._answer(self.bench.plan, then=lambda plan: pane_data(plan, name))

    async def sides(self, _request: Request) -> Response:
        """Give the names of what two sides can be compared."""
        from layout.bench.panes import sides_of

        return await self._answer(lambda: {"sides": sides_of(self.bench.register)})

    async def compare(self, request: Request) -> Response:
        """Give how two sides differ."""
        from layout.bench.panes import comparison_data

        asked = await _body(request)
        if asked is None:
            return _refused("that is no JSON object")

        def standing() -> tuple[Project, Register]:
            self.bench.renew()
            return self.bench.project, self.bench.register

        return await self._answer(
            standing,
            then=lambda now: comparison_data(now[0], now[1], text_of(asked, "first"), text_of(asked, "second")),
        )

    async def document(self, request: Request) -> Response:
        """Give a book as PDF, made anew: workshop, electrician, shopping, reckoning."""
        from layout.bench.wiring import document

        name = request.path_params["name"]

        def made() -> Response:
            content = document(self.bench.plan(), name)
            if content is None:
                return PlainTextResponse("there is no such document", status_code=404)
            kind = "application/pdf" if name.endswith(".pdf") else "application/octet-stream"
            return Response(content, media_type=kind)

        def locked() -> Response:
            with self.lock, spoken(language_of(self.bench.project)):
                return made()

        return await run_in_threadpool(locked)

    async def photograph(self, request: Request) -> Response:
        """Give the photograph that the file lays under a panel, with the picture inside; nothing of another folder."""
        panel = request.path_params["panel"]
        return await self._answer(lambda: photograph(self.bench.project, self.bench.path.parent, panel))

    async def pictures(self, _request: Request) -> Response:
        """Give the names of the pictures that lie beside the project, and the three points of each that is laid."""

        def listed() -> Any:
            self.bench.renew()
            return pictures_data(self.bench)

        return await self._answer(listed)

    async def picture(self, request: Request) -> Response:
        """Give one picture of that list, upright and made smaller, with the size that its points are counted in."""
        name = request.path_params["name"]
        return await self._answer(lambda: picture_data(self.bench, name))

    async def events(self, request: Request) -> Response:
        """Tell, as server-sent events, when the version, the placing or a refusal to read the files changes."""

        async def told() -> AsyncIterator[str]:
            before = ""
            self.watching += 1
            try:
                while not self.closing() and not await request.is_disconnected():
                    now = await run_in_threadpool(self._brief)
                    if now != before:
                        yield f"data: {now}\n\n"
                        before = now
                    await asyncio.sleep(_LOOK_S)
            finally:
                self.watching -= 1
                asyncio.get_running_loop().call_later(GONE_S, self._left)

        return StreamingResponse(told(), media_type="text/event-stream")

    def _left(self) -> None:
        """Stop what the page asked for when nobody looks at it any more; a page that is only loaded anew is back."""
        if self.watching == 0:
            self.bench.stop_solve()

    def _brief(self) -> str:
        with self.lock:
            refused = None
            try:
                self.bench.renew()
                self.bench.follow_solve()
            except RefusedError as error:
                refused = str(error)
            solve = self.bench.solve
            words = (
                None
                if solve is None
                else {
                    "words": solve.words,
                    "ended": solve.ended,
                    "waiting": len(self.bench.queue),
                    "pictures": solve.pictures,
                }
            )
            return json.dumps({"version": self.bench.version, "solving": words, "refused": refused})

    async def _answer(self, make: Callable[[], Any], *, then: Callable[[Any], Any] | None = None) -> Response:
        """Answer with what is made while nothing else is done to the project, and with what is then made of it."""

        def made() -> Response:
            try:
                with self.lock:
                    answer = make()
                with spoken(language_of(self.bench.project)):
                    return JSONResponse(in_words(answer if then is None else then(answer)))
            except RefusedError as error:
                return _refused(str(error))
            except (KeyError, TypeError, ValueError) as error:
                return _refused(f"what was asked can't be understood: {error}")

        waiting: Awaitable[Response] = run_in_threadpool(made)
        return await waiting


def _get_ready() -> None:
    """Load what a move and the wiring will need, while the page is looked at for the first time."""
    import layout.flow
    import layout.handover.plan
    import layout.network.networks
    import layout.placing.formulation
    import layout.wiring.wire  # noqa: F401


def _refused(words: str) -> Response:
    return JSONResponse({"refused": words}, status_code=409)


async def _body(request: Request) -> dict[str, Any] | None:
    try:
        found = json.loads(await request.body())
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None
