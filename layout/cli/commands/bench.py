"""``spile bench``: the panel on a local page, moved about by hand."""

from __future__ import annotations

from typing import Annotated

import typer

from layout.cli.options import AsJson, ProjectPath, Quiet
from layout.cli.session import runs_on
from layout.cli.voice import Voice

Port = Annotated[int, typer.Option("--port", min=0, max=65535, help="Port on this machine; 0 takes a free one.")]
Show = Annotated[bool, typer.Option("--show/--no-show", help="Open the page in the browser.")]


def bench(file: ProjectPath, port: Port = 0, show: Show = True, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Open the panel on a local page, to be moved, judged and wired.

    Nothing leaves the machine. What is done there is written into the project file and its register at once; Ctrl-C
    here closes the page.

    Example: spile bench panel.yaml
    """
    import socket
    import webbrowser

    import uvicorn

    from layout.bench.open_files import RefusedError
    from layout.bench.server import bench_app, new_token
    from layout.bench.workbench import Workbench

    voice = Voice(as_json=as_json, quiet=quiet)
    runs_on()
    try:
        desk = Workbench(file)
    except RefusedError as error:
        voice.refuse(str(error), remedy=f"run: spile check {file}")
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind(("127.0.0.1", port))
        listener.listen()  # a browser that is quicker than the server waits instead of being sent away
    except OSError:
        voice.refuse(f"port {port} is taken", remedy="leave --port out, or name another")
    number = listener.getsockname()[1]
    token = new_token()
    address = f"http://127.0.0.1:{number}/{token}/"
    voice.line(f"The bench is at {address}")
    voice.line("Ctrl-C closes it.")
    hosts = (f"127.0.0.1:{number}", f"localhost:{number}")
    app = bench_app(desk, token=token, hosts=hosts, closing=lambda: server.should_exit)
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="off", timeout_graceful_shutdown=1))
    if show:
        webbrowser.open(address)
    try:
        server.run(sockets=[listener])
    except KeyboardInterrupt:
        pass
    finally:
        desk.close()
    voice.data["address"] = address
    voice.finish((), {})
