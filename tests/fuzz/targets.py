"""What is fuzzed: each target makes an input from a source of chance, and raises only where a promise is broken.

A target takes a ``random.Random`` and a folder of its own, so the test run draws few inputs, ``tests.fuzz.run`` draws
many, and a crasher is told by its number alone.
"""

from __future__ import annotations

import copy
import math
import random
import re
from functools import cache
from typing import TYPE_CHECKING, Any

import yaml

from layout import flow
from layout.frozen import FrozenMap
from layout.handover.documents import DOCUMENT_NAMES
from layout.project.editing.edit import EditError, edit_project
from layout.project.editing.flowtext import flow as flow_text
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.reading.read import read
from layout.project.register import Register, backup_path, load, parse_register, register_path, render
from layout.project.repair import repair
from layout.quantity import UNITS, QuantityError
from layout.quantity import parse as parse_quantity
from tests.cli.test_two_at_once import PLACES
from tests.project.test_fuzz import DATA, LINES, ODD, TEXTS, must_read, tables, whole
from tests.project.test_register import FULL

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

SIGNS = "{}[]:,-#&*!|>'\"%@`\t\n\r\0 ~0a1eE.+Ω電\u200b\ufeff"
KEYS = sorted({key for data in DATA for owner in tables(data) if isinstance(owner, dict) for key in owner})
TOKEN = re.compile(r"\w+|\s+|.", re.DOTALL)
OTHERS = ("canal_barge.yaml", "hire_cruiser.yaml", "mussel_boat.yaml", "workshop_wall.yaml")
SMALL, SHORT = 600, 1200
"""How many short projects are cut from the examples, and how many characters they may have."""
WHOLE = 0.02
"""Share of the reader's inputs that are made of a whole example."""
WALL = whole("workshop_wall.yaml")
STANDING = Arrangement(
    placed=FrozenMap({key: Placed(device=key, panel="wall", x=x, y=y) for key, (x, y) in PLACES.items()})
)


def broken(text: str, rng: random.Random) -> str:
    """Return a text with characters cut, put in, doubled or moved."""
    for _ in range(rng.randrange(1, 7)):
        at = rng.randrange(len(text) + 1)
        kind = rng.randrange(4)
        if kind == 0:
            text = text[:at] + text[at + rng.randrange(1, 40) :]
        elif kind == 1:
            text = text[:at] + rng.choice(SIGNS) + text[at:]
        elif kind == 2:
            end = text.find("\n", at) + 1
            text = text[:end] + rng.choice(LINES) + "\n" + text[end:]
        else:
            other = rng.randrange(len(text) + 1)
            text = text[:at] + text[other : other + 30] + text[at:]
    return text


def changed(data: Any, rng: random.Random) -> Any:
    """Return data with entries replaced, renamed, dropped, doubled under another name, or swapped."""
    data = copy.deepcopy(data)
    for _ in range(rng.randrange(1, 6)):
        owner = rng.choice(tables(data))
        name = rng.choice(list(owner) if isinstance(owner, dict) else range(len(owner)))
        kind = rng.randrange(6)
        if kind <= 1:
            owner[name] = rng.choice(ODD)
        elif kind == 2:
            other = rng.choice(tables(data))  # something that is meant elsewhere
            owner[name] = copy.deepcopy(rng.choice(list(other.values()) if isinstance(other, dict) else other))
        elif kind == 3 or isinstance(owner, list):
            del owner[name]
        elif kind == 4:
            owner[rng.choice(KEYS)] = owner.pop(name)
        else:
            owner[f"{name}2"] = copy.deepcopy(owner[name])
        if not data:
            break
    return data


def write(folder: Path, data: Any) -> Path:
    """Write a project's data as a file and return it."""
    path = folder / "panel.yaml"
    path.write_text("".join(f"{flow_text(key)}: {flow_text(value)}\n" for key, value in data.items()), encoding="utf-8")
    return path


@cache
def small_texts() -> tuple[str, ...]:
    """Return short projects: some sections of an example, with few entries each, half of them over several lines."""
    rng, texts, examples = random.Random(1), [], [*DATA, *map(whole, OTHERS)]
    for _ in range(SMALL):
        data = rng.choice(examples)
        few: dict[str, Any] = {"spile": data["spile"]}
        for key in dict.fromkeys(("panels", "devices", *rng.sample(sorted(data), rng.randrange(1, 5)))):
            entries = data.get(key)
            names = rng.sample(list(entries), min(len(entries), 2)) if isinstance(entries, dict) else ()
            few[key] = {name: entries[name] for name in names} if names else entries
        lines = [f"{flow_text(key)}: {flow_text(value)}" for key, value in few.items()]
        text = "\n".join(lines) + "\n"
        texts.append(text if rng.random() < 0.5 else yaml.safe_dump(few, sort_keys=False, allow_unicode=True))
    return tuple(text for text in texts if len(text) < SHORT)


@cache
def tokens() -> tuple[str, ...]:
    """Return every word, number and sign of the short projects, and what stands in none of them."""
    said = {token for text in small_texts() for token in TOKEN.findall(text) if not token.isspace()}
    return (*sorted(said), *KEYS, *map(flow_text, ODD), *SIGNS)


def with_other_tokens(text: str, rng: random.Random) -> str:
    """Return a text with words and signs replaced, dropped, doubled or exchanged."""
    parts = TOKEN.findall(text)
    for _ in range(rng.randrange(1, 5)):
        at, kind = rng.randrange(len(parts)), rng.randrange(5)
        if kind <= 1:
            parts[at] = rng.choice(tokens())
        elif kind == 2:
            parts[at] = ""
        elif kind == 3:
            parts.insert(at, rng.choice(parts))
        else:
            other = rng.randrange(len(parts))
            parts[at], parts[other] = parts[other], parts[at]
    return "".join(parts)


def with_other_bytes(raw: bytes, rng: random.Random) -> bytes:
    """Return bytes with some changed, dropped or put in."""
    changed_raw = bytearray(raw)
    for _ in range(rng.randrange(1, 4)):
        at = rng.randrange(len(changed_raw))
        changed_raw[at : at + rng.randrange(3)] = rng.randbytes(rng.randrange(3))
    return bytes(changed_raw)


def reader(rng: random.Random, folder: Path) -> None:
    """Read a project's text, changed in words, signs or bytes: most are short, one in fifty is a whole example."""
    text = rng.choice(TEXTS if rng.random() < WHOLE else small_texts())
    kind = rng.random()
    text = with_other_tokens(text, rng) if kind < 0.6 else broken(text, rng)
    raw = text.encode("utf-8")
    path = folder / "panel.yaml"
    path.write_bytes(with_other_bytes(raw, rng) if kind > 0.9 and raw else raw)
    must_read(path)


def structure(rng: random.Random, folder: Path) -> None:
    """Read the data of a project, changed."""
    must_read(write(folder, changed(rng.choice(DATA), rng)))


def quantities(rng: random.Random, folder: Path) -> None:
    """Hold that a quantity is a finite number, or is refused in words."""
    kind = rng.choice(sorted(UNITS))
    words = [*sorted(UNITS[kind]), "1", "-", "1/0", "3 1/8", "1e5", "9" * 40, ",", ".", " ", "½", "∞", "nan", "٣"]
    text: Any = "".join(rng.choice(words) for _ in range(rng.randrange(1, 5)))
    if rng.random() < 0.1:
        text = rng.choice([math.nan, math.inf, -0.0, 1e308, 5e-324, 10**400, True, None, [], {}])
    try:
        value = parse_quantity(text, kind, bare=rng.random() < 0.5)
    except QuantityError:
        return
    assert math.isfinite(value)


def includes(rng: random.Random, folder: Path) -> None:
    """Read includes of each other, of themselves, of folders, of nothing and of names that are none."""
    names = ["panel.yaml", "b.yaml", "c.yaml", "../panel.yaml", ".", "", "no.yaml", "a\0b", "x" * 300, "/", "b.yaml/c"]
    for name in names[:3]:
        said = [rng.choice(names) for _ in range(rng.randrange(4))]
        text = f"spile: 2\ninclude: {flow_text(said)}\n" + (rng.choice(LINES) + "\n" if rng.random() < 0.3 else "")
        (folder / name).write_text(text, encoding="utf-8")
    must_read(folder / "panel.yaml")


def register(rng: random.Random, folder: Path) -> None:
    """Hold that a broken register is told as damaged, and repaired has the numbers of the good copy."""
    path = register_path(folder / "panel.yaml")
    path.write_text(broken(render(FULL), rng), encoding="utf-8", newline="")
    known, faults = load(path)
    assert (known is None) == bool(faults)
    assert known in (None, FULL, Register())
    good = Register(numbers=FrozenMap({"circuits.lamp": 1, "circuits.pump": 2}))
    backup_path(path).write_text(render(good), encoding="utf-8")
    if known is None and all(fault.rule == "file 80" for fault in faults):
        rebuilt = repair(path).register
        assert rebuilt is not None
        assert {key: rebuilt.numbers.get(key) for key in good.numbers} == dict(good.numbers)
        assert parse_register(path.read_text(encoding="utf-8"), path.name)[0] == rebuilt
    for left in folder.iterdir():
        left.unlink()


def edits(rng: random.Random, folder: Path) -> None:
    """Hold that an edit is made, or refused with the file as it was."""
    path = folder / "panel.yaml"
    text = rng.choice(TEXTS[:1]) if rng.random() < 0.5 else broken(TEXTS[0], rng)
    path.write_text(text, encoding="utf-8", newline="")
    before = path.read_bytes()
    key = ".".join(rng.choice([*KEYS, "", "a b", "0"]) for _ in range(rng.randrange(1, 4)))
    try:
        edit_project(path, key, rng.choice(ODD))
        is_made = True
    except EditError:
        is_made = False
    assert is_made or path.read_bytes() == before
    must_read(path)


def outlines(rng: random.Random, folder: Path) -> None:
    """Hold that an outline of odd corners, arcs and radii is a shape, or reported."""

    def number() -> float:
        return rng.choice([0, 1, -1, 50, 200, 200.0001, 400, 1e-9, 1e6, rng.uniform(-50, 500)])

    steps: list[Any] = [[number(), number()] for _ in range(rng.randrange(8))]
    for step in range(len(steps)):
        if rng.random() < 0.3:
            steps[step] = {
                "to": steps[step],
                rng.choice(["radius", "bulge", "through", "corner"]): rng.choice([number(), [number(), number()]]),
            }
    outline: Any = {rng.choice(["path", "polygon", "rect", "corners"]): steps}
    if rng.random() < 0.5:
        outline["radius"] = number()
    data = copy.deepcopy(WALL)
    data["panels"]["wall"]["outline"] = outline
    must_read(write(folder, data))


def build(rng: random.Random, folder: Path) -> None:
    """Read and plan a project of changed structure with an arrangement kept, and write one of its documents."""
    reading = read(write(folder, changed(WALL, rng)))
    if reading.project is None:
        return
    kept = STANDING if rng.random() < 0.8 else None
    known = Register(arrangement=kept)
    plan = flow.plan(reading.project, kept, register=known, found=reading.findings, rough=True)
    after = flow.remember(known, plan)
    assert parse_register(render(after), "register") == (after, ())
    flow.hand_over(plan, folder / "out", only=[rng.choice(DOCUMENT_NAMES)])


TARGETS: dict[str, Callable[[random.Random, Path], None]] = {
    one.__name__: one for one in (reader, structure, quantities, includes, register, edits, outlines, build)
}
