"""End commands while they write, and hold what is left to what is promised: ``python -m tests.fuzz.kills COUNT``.

Each round takes a small project, runs one command in a forked child and ends it: killed before the n-th step that
touches the disk, killed with half a file written, killed at some moment of its processor time, or with a disk that is
full from the n-th step on. Then:

- the register can be read, and has every number that it had;
- each document is whole, as it was or as it becomes;
- the next build succeeds, and all files have the bytes they have where nothing was ended;
- a command whose disk was full ends as not usable, never as a fault of ours.
"""

from __future__ import annotations

import argparse
import builtins
import errno
import io
import os
import random
import re
import shutil
import signal
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from layout.cli.options import UNUSABLE
from layout.handover.files.folder_contents import FolderContents, is_as_listed
from layout.project.editing.new_project import new_text
from layout.project.register import load, register_path
from tests.fuzz.run import MEMORY
from tests.running import spile

if TYPE_CHECKING:
    from collections.abc import Sequence

KILLED = 99
"""Exit code of a child that was ended at a step."""
TRACEBACK = 98
"""Exit code of a child in which an exception passed through the command."""
FINE = (0, 1)
"""Exit codes of a command that did its work."""

Files = dict[str, bytes]
Way = str
WAYS: tuple[Way, ...] = ("step", "half", "moment", "full")


class Ending:
    """Counts the steps of a process that touch the disk below a folder, and ends it, or fills the disk, at one."""

    def __init__(self, folder: Path, way: Way, last: int) -> None:
        self.folder, self.way, self.last, self.count = os.fspath(folder), way, last, 0

    def step(self, *, needs_room: bool) -> bool:
        """Count one step; tell whether a file that is to be written may only be half written."""
        self.count += 1
        if self.way == "step" and self.count == self.last:
            os._exit(KILLED)
        if self.way == "full" and self.count >= self.last and needs_room:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return self.way == "half" and self.count == self.last

    def watch(self) -> None:
        """Put the count into every function of the system that changes files."""
        for name, needs_room in (("replace", False), ("chmod", False), ("unlink", False), ("mkdir", True)):
            self._wrap(os, name, needs_room=needs_room)
        self._wrap(os, "fsync", needs_room=True)
        self._wrap(tempfile, "mkstemp", needs_room=True)
        plain_open, ending = io.open, self

        def opened(
            file: Any, mode: str = "r", buffering: int = -1, encoding: Any = None, *more: Any, **named: Any
        ) -> Any:
            if not set(mode) & set("wxa") or not (isinstance(file, int) or ending.is_below(file)):
                return plain_open(file, mode, buffering, encoding, *more, **named)
            if not isinstance(file, int):
                ending.step(needs_room=True)
            stream = Breaking(ending, plain_open(file, mode.replace("b", "") + "b", 0))
            return (
                stream if "b" in mode else io.TextIOWrapper(stream, encoding or "utf-8", newline=named.get("newline"))
            )

        io.open = builtins.open = os.fdopen = opened  # type: ignore[assignment]

    def is_below(self, path: Any) -> bool:
        """Tell whether a path lies in the folder."""
        return os.fspath(path).startswith(self.folder)

    def _wrap(self, module: Any, name: str, *, needs_room: bool) -> None:
        plain = getattr(module, name)

        def counted(*words: Any, **named: Any) -> Any:
            where = named.get("dir", words[0] if words else "")
            if isinstance(where, int) or self.is_below(where):
                self.step(needs_room=needs_room)
            return plain(*words, **named)

        setattr(module, name, counted)


class Breaking(io.BufferedWriter):
    """A file in which a write may be the last step of its process."""

    def __init__(self, ending: Ending, raw: io.RawIOBase) -> None:
        super().__init__(raw)
        self._ending = ending

    def write(self, content: Any, /) -> int:
        """Write, wholly or by half."""
        half = bytes(content)[: len(content) // 2]
        try:
            is_half = self._ending.step(needs_room=True)
        except OSError:
            super().write(half)
            raise
        if is_half:
            super().write(half)
            self.flush()
            os._exit(KILLED)
        return super().write(content)


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """A command that is ended.

    Attributes
    ----------
    words
        As they are typed; ``{}`` stands for the folder.
    finds
        Which earlier state of the folder it finds.
    edits
        What is changed in that state before: file, old and new text.
    then
        The command after it, which must leave the bytes of a run that was not ended.
    """

    words: tuple[str, ...]
    finds: str
    edits: tuple[tuple[str, str, str], ...] = ()
    then: tuple[tuple[str, ...], ...] = ()


FILE, OUT, REGISTER = "{}/panel.yaml", "{}/out", "panel.register.yaml"
BUILD = ("build", FILE, "--out", OUT, "--effort", "quick")
REVISED = (
    ("panel.yaml", "revision: A", "revision: B"),
    ("panel.yaml", "load: {power: 36 W}", "load: {power: 30 W}"),
    ("panel.yaml", "  cabin:\n    name: Cabin panel\n    outline", "  cabin:\n    name: Saloon panel\n    outline"),
)
STATES: dict[str, tuple[str, tuple[str, ...]]] = {
    "built": ("written", BUILD),
    "proposed": ("built", ("arrange", FILE, "--out", OUT, "--effort", "quick", "--alternatives", "2")),
    "moved": ("built", ("move", FILE, "charging", "--by", "5,0")),
    "measured": ("built", ("log", FILE, "001", "1.2m")),
}
"""Each state of the folder: the one before, and the command that leads to it."""
COMMANDS = {
    "build from nothing": Command(words=BUILD, finds="written", then=(BUILD,)),
    "build after changes": Command(words=BUILD, finds="built", edits=REVISED, then=(BUILD,)),
    "build --clean": Command(words=(*BUILD, "--clean"), finds="built", edits=REVISED, then=((*BUILD, "--clean"),)),
    "schedule": Command(words=("schedule", FILE, "--out", OUT), finds="built", edits=REVISED, then=(BUILD,)),
    "template": Command(words=("template", FILE, "--out", OUT), finds="built", edits=REVISED, then=(BUILD,)),
    "arrange": Command(words=(*STATES["proposed"][1], "--seed", "2"), finds="built", then=(BUILD,)),
    "choose": Command(words=("choose", FILE, "2"), finds="proposed", then=(BUILD,)),
    "move": Command(words=STATES["moved"][1], finds="built", then=(BUILD,)),
    "undo": Command(words=("undo", FILE), finds="moved", then=(BUILD,)),
    "pin": Command(words=("pin", FILE, "meter"), finds="built", then=(BUILD,)),
    "log": Command(words=("log", FILE, "002", "1.4m", "0.1V"), finds="measured", then=(BUILD,)),
    "renew": Command(
        words=("renew", FILE), finds="built", then=(("renew", FILE), BUILD),
        edits=(("panel.yaml", "spile: 2", "spile: 1"), ("panel.yaml", "\nlocations:", "\nplaces:"),
               ("panel.yaml", "face_gap", "gap")),
    ),
    "repair": Command(
        words=("repair", FILE), finds="moved", edits=((REGISTER, "sealed:", "broken:"),),
        then=(("repair", FILE), BUILD),
    ),
    "new": Command(words=("new", "{}"), finds="nothing", then=(("new", "{}"), BUILD)),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A command as it goes when nobody ends it.

    Attributes
    ----------
    before, done
        All files it finds, and all it leaves.
    ends
        All files after the next commands: where this one never ran, and where it ran.
    steps
        How many steps of it touch the disk.
    seconds
        Of a processor that it takes.
    """

    command: Command
    before: Files
    done: Files
    ends: tuple[Files, ...]
    steps: int
    seconds: float


def put(folder: Path, files: Files) -> None:
    """Empty a folder and put files into it."""
    shutil.rmtree(folder, ignore_errors=True)
    for name, content in {"": b"", **files}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        if name:
            (folder / name).write_bytes(content)


def there(folder: Path) -> Files:
    """Return all files of a folder by name."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def run(folder: Path, words: Sequence[str], ending: Ending | None = None, moment_s: float = 0.0) -> tuple[int, int]:
    """Run a command in a forked child; return how it ended, a signal as its negative, and how many steps it took."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        if ending is not None:
            ending.watch()
        if moment_s:
            signal.signal(signal.SIGPROF, signal.SIG_DFL)
            signal.setitimer(signal.ITIMER_PROF, moment_s)
        try:
            code = spile(*(word.format(folder) for word in words)).code
        except BaseException:
            code = TRACEBACK
        os.write(writes, str(ending.count if ending else 0).encode())
        os._exit(code)
    os.close(writes)
    with os.fdopen(reads) as told:
        steps = told.read()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), int(steps or 0)


def state(name: str, folder: Path, known: dict[str, Files]) -> Files:
    """Return the files of a state that commands find, and keep them."""
    if name not in known:
        earlier, words = STATES[name]
        put(folder, state(earlier, folder, known))
        code = spile(*(word.format(folder) for word in words)).code  # here, so that children find all modules loaded
        assert code in FINE, name
        known[name] = there(folder)
    return known[name]


def work(command: Command, found: Files, folder: Path) -> Work:
    """Let a command run to its end, and the next ones with and without it."""
    before = dict(found)
    for name, old, new in command.edits:
        assert old.encode() in before[name], (name, old)
        before[name] = before[name].replace(old.encode(), new.encode())
    put(folder, before)
    whole, began = Ending(folder, "count", 0), os.times()
    code, steps = run(folder, command.words, whole)
    assert code in FINE, (command.words, code)
    after = os.times()
    done = there(folder)
    return Work(
        command=command, before=before, done=done, ends=(_next(command, before, folder), _next(command, done, folder)),
        steps=steps, seconds=after.children_user + after.children_system - began.children_user - began.children_system,
    )  # fmt: skip


def _next(command: Command, files: Files, folder: Path) -> Files:
    put(folder, files)
    for words in command.then:
        code, _ = run(folder, words)
        assert code in FINE or words[0] == "new", (words, code)
    return _told(there(folder))


def _told(files: Files) -> Files:
    """Return the files that must be the same in the end.

    Not those of which one more, or an earlier one, does no harm: registers kept from before, and the contact sheet,
    which no build makes.
    """
    return {name: files[name] for name in files if not re.search(r"\.damaged-|\.last\.|contact-sheet", name)}


def round_faults(at: Work, rng: random.Random, folder: Path, way: Way) -> tuple[str, list[str]]:
    """End a command once; return how that went, and each promise that is broken."""
    put(folder, at.before)
    ending = Ending(folder, way, rng.randrange(1, at.steps + 1))
    moment_s = rng.uniform(0.0, at.seconds) + 0.001 if way == "moment" else 0.0
    code, _ = run(folder, at.command.words, ending, moment_s)
    how = f"{way} {ending.last if not moment_s else f'{moment_s:.3f} s'}"
    left = there(folder)
    faults = (
        [] if code in {*FINE, KILLED, -signal.SIGPROF} or (way == "full" and code == UNUSABLE) else [f"ended {code}"]
    )
    if at.command.words[0] != "repair":
        faults += _lost(at, folder)
    documents = {name: (at.before.get(name), at.done.get(name)) for name in left if name.startswith("out/")}
    faults += [
        f"{name} is neither as it was nor as it becomes"
        for name, wholes in documents.items()
        if left[name] not in wholes and not name.endswith((".part", "contents.json"))
    ]
    faults += [f"{name} is listed and half" for name in _half_listed(folder, at)]
    for words in at.command.then:
        again, _ = run(folder, words)
        if again not in FINE and words[0] != "new":
            faults.append(f"{words[0]} after it ended {again}")
    ends = _told(there(folder))
    if ends not in at.ends:
        nearest = min(at.ends, key=lambda files: len(_differing(files, ends)))
        faults.append(f"other bytes in the end: {_differing(nearest, ends)}")
    return how, faults


def _lost(at: Work, folder: Path) -> list[str]:
    """Return what the register lost."""
    name = register_path(Path("panel.yaml")).name
    if name not in at.before:
        return []
    (folder / "before.yaml").write_bytes(at.before[name])
    before, (now, findings) = load(folder / "before.yaml")[0], load(folder / name)
    (folder / "before.yaml").unlink()
    assert before is not None
    if now is None:
        return [f"the register: {findings[0].message}"]
    return [f"the number of {key} is lost" for key, number in before.numbers.items() if now.numbers.get(key) != number]


def _half_listed(folder: Path, at: Work) -> list[str]:
    """Return documents whose list says that they are as made, and which are not whole."""
    listed = FolderContents.read(folder / "out").steps.values()
    wholes = {content for files in (at.before, at.done) for content in files.values()}
    return [
        name
        for step in listed
        for name, mark in step.files.items()
        if is_as_listed(folder / "out" / name, mark) and (folder / "out" / name).read_bytes() not in wholes
    ]


def _differing(first: Files, second: Files) -> list[str]:
    return sorted(name for name in {**first, **second} if first.get(name) != second.get(name))


@dataclass(slots=True)
class Ended:
    """How many rounds were done by command and way, and what broke."""

    rounds: Counter[tuple[str, Way]] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)


def kills(count: int, *, first: int = 0, names: Sequence[str] = tuple(COMMANDS)) -> Ended:
    """Do so many rounds, from the first number on: every command and every way in turn."""
    done = Ended()
    with tempfile.TemporaryDirectory(dir=MEMORY) as place:
        folder = Path(place) / "project"
        known = {"nothing": {}, "written": {"panel.yaml": new_text().encode()}}
        works = {name: work(COMMANDS[name], state(COMMANDS[name].finds, folder, known), folder) for name in names}
        for number in range(first, first + count):
            name, way = names[number % len(names)], WAYS[number // len(names) % len(WAYS)]
            how, faults = round_faults(works[name], random.Random(number), folder, way)
            done.rounds[name, way] += 1
            done.faults += [f"{number}: {name}, {how}: {fault}" for fault in faults]
    return done


def main() -> None:
    """Run the command."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("count", type=int)
    words.add_argument("--first", type=int, default=0)
    words.add_argument("--only", choices=COMMANDS)
    told = words.parse_args()
    done = kills(told.count, first=told.first, names=(told.only,) if told.only else tuple(COMMANDS))
    for name in COMMANDS:
        print(f"{name:22}", *(f"{way} {done.rounds[name, way]:4}" for way in WAYS))
    print(f"{sum(done.rounds.values())} rounds, {len(done.faults)} promises broken")
    for fault in done.faults:
        print(f"  {fault}")
    sys.exit(bool(done.faults))


if __name__ == "__main__":
    main()
