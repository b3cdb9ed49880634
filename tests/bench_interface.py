"""The reference's page on the bench's JSON interface.

Routes and what can be done are read from the server, the shape of answers from what the page itself is typed with.
"""

from __future__ import annotations

import inspect
import re
from typing import TYPE_CHECKING

from layout.bench import acts, server
from layout.bench.workbench import Workbench
from tests.conftest import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator

HEAD = """# The bench's JSON interface

`spile bench FILE` prints an address, `http://127.0.0.1:PORT/TOKEN/`. Every path below stands after it. Only this \
machine is answered, and only with the token: another `Host` or `Origin`, a form of another page, and a body over \
64,000 bytes are refused. A request with a body is a `POST` of one JSON object, as `application/json`. Lengths are \
millimetres; x to the right, y up from the panel's lower left corner. Values are those of the commands' `--json`.

What can't be done is answered with code 409 and `{"refused": "why"}`, and nothing is written.

    curl -s http://127.0.0.1:PORT/TOKEN/api/state
    curl -s http://127.0.0.1:PORT/TOKEN/api/do -H 'Content-Type: application/json' \\
         -d '{"do": "move", "device": "radio", "x": 120, "y": 85}'

| path | | what it does |
|---|---|---|
"""
ACTS = """
## What can be done

Keys beside `do`. All but `solve` and `stop` is in the files before it is answered, unless a rule is broken: then \
it is shown (`kept` is false) and kept only on the bench until the rules hold again.

| do | keys | what it does |
|---|---|---|
"""
SHAPES = """
## Answers

`state` and `do` give a `State`, `wiring` a `Wiring`, `look` `{"findings": Finding[]}`, `proposal` and `remedy` \
`{"panels": Panel[]}`, `pictures` a `Pictures`, `picture` and `photograph` a `Picture`. \
`d`, `outline` and the like are SVG path data in panel millimetres. `null` is not known.

```ts
"""
TAKES = {
    "text_of": "text", "figure_of": "number", "names_of": "list of texts", "get": "any value", "": "table",
    "spots_of": "three of `{pixel: [u, v], at: [x, y]}`",
}  # fmt: skip
ROUTE = re.compile(r"Route\(f\"\{base\}/(api/\S+?)\", desk\.(\w+)(, methods=\[\"POST\"\])?\)")
ACT = re.compile(r"^        \"([\w ]+)\": lambda \w+: (.*?),\n(?=        \"|\Z)", re.MULTILINE | re.DOTALL)
READS = re.compile(r"(text_of|figure_of|names_of|spots_of)\(a, \"(\w+)\"\)|a(?:\.(get)\(|\[)\"(\w+)\"[)\]]")


def route_rows() -> Iterator[str]:
    """Yield one row for each address that is answered."""
    for path, name, verb in ROUTE.findall(_source()):
        shown = path.replace("{{", "{").replace("}}", "}")
        shown = re.sub(r"\{(\w+):\w+\}", lambda match: match[1].upper(), shown)
        yield f"| `{shown}` | {'POST' if verb else 'GET'} | {_first(getattr(server._Desk, name))} |"


def act_rows() -> Iterator[str]:
    """Yield one row for each thing that can be done."""
    block = inspect.getsource(acts.acts_of).split("return {\n", 1)[1].split("\n    }\n", 1)[0]
    for name, does in ACT.findall(block + "\n"):
        keys = [f"`{key or other}`: {TAKES[take or get]}" for take, key, get, other in READS.findall(does)]
        called = re.match(r"(?:bench\.)?(\w+)\(", does)
        if called is None:
            raise SystemExit(f"what '{name}' calls can't be told")
        does_it = getattr(Workbench, called[1], None) or getattr(acts, called[1])
        yield f"| `{name}` | {', '.join(keys)} | {_first(does_it)} |"


def shapes() -> str:
    """Return the types of the answers, as the page is written with."""
    told = (ROOT / "web" / "data.ts").read_text(encoding="utf-8")
    return told[told.index("export interface") : told.index("export class")].replace("export ", "").rstrip()


def interface_page() -> str:
    """Return the page's text."""
    return HEAD + "\n".join(route_rows()) + "\n" + ACTS + "\n".join(act_rows()) + "\n" + SHAPES + shapes() + "\n```\n"


def fields(name: str) -> set[str]:
    """Return the fields that a type of the answers has on the page."""
    body = shapes().split(f"interface {name} {{", 1)[1]
    depth, end = 1, 0
    while depth:
        depth += {"{": 1, "}": -1}.get(body[end], 0)
        end += 1
    own = body[: end - 1]
    while "{" in own:
        own = re.sub(r"\{[^{}]*\}", "", own)
    return set(re.findall(r"(\w+)\??:", own))


def _source() -> str:
    return inspect.getsource(server)


def _first(told: object) -> str:
    return (inspect.getdoc(told) or "").split("\n\n", 1)[0].replace("\n", " ").replace("``", "`")
