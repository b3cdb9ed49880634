"""Make a change in a fork of a process that has read all tests, and run the tests that walk over the changed line.

The tests are collected once. Every test file runs once in a fork of its own, with a probe before each statement of the
modules, to learn which test walks where and how long it takes. Then each change runs in a fork: its function gets
other code, and the quickest tests that walk there run until one fails. A change outside functions needs the module to
be read anew, so it runs in a process that has read no module of the project yet.
"""

from __future__ import annotations

import ast
import gc
import importlib
import json
import os
import resource
import signal
import sys
import time
from collections import defaultdict
from dataclasses import dataclass
from importlib.abc import MetaPathFinder, SourceLoader
from importlib.util import spec_from_file_location
from pathlib import Path
from types import CodeType, FunctionType
from typing import TYPE_CHECKING, Any, NamedTuple

import pytest

from tests.mutation.changes import FUNCTIONS, Change, changes

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from importlib.machinery import ModuleSpec
    from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]
READ_ALREADY = "ignore::pytest.PytestAssertRewriteWarning"
PYTEST = ["-q", "-o", "addopts=", "--import-mode=importlib", "-p", "no:cacheprovider", "-W", READ_ALREADY]
PROBE = "_walked_here"
HEAVY = ("hypothesis", "networkx", "numpy", "ortools.sat.python.cp_model", "shapely", "yaml")
"""Read before the first fork, so that no change has to read them again."""
TESTS_S = 6.0
"""The quickest tests that walk over a line, together no longer than this, have to notice a change of it."""
PATIENCE_S = 30
"""Processor seconds; a changed program that has not ended by then is in a loop, and its tests never pass."""
UNNOTICED, NOTICED, NOT_WALKED, CUT_OFF = 0, 1, 3, 4
"""How a change ended, and what its process returns; NOT_WALKED where no test walks over it."""


class Walk(NamedTuple):
    """Where one test walks: (module, line) of statements; and how long it takes, s."""

    seconds: float
    lines: frozenset[tuple[str, int]]


@dataclass(frozen=True)
class Tried:
    """A change, and how it ended."""

    change: Change
    outcome: int


class _Loader(SourceLoader):
    """Reads a module of the project from the text that a function gives, without the compiled file."""

    def __init__(self, path: Path, made: Callable[[str], CodeType]) -> None:
        self.path = path
        self.made = made

    def get_filename(self, fullname: str) -> str:  # noqa: ARG002
        return str(self.path)

    def get_data(self, path: str | bytes) -> bytes:
        return Path(os.fsdecode(path)).read_bytes()

    def get_code(self, fullname: str) -> CodeType:  # noqa: ARG002
        return self.made(str(self.path.relative_to(ROOT)))


class _Finder(MetaPathFinder):
    """Finds some modules of the project and has them read by ``_Loader``."""

    def __init__(self, modules: Sequence[str], made: Callable[[str], CodeType]) -> None:
        self.paths = {module_name(module): ROOT / module for module in modules}
        self.made = made

    def find_spec(self, fullname: str, path: object, target: object = None) -> ModuleSpec | None:  # noqa: ARG002
        if fullname not in self.paths:
            return None
        at = self.paths[fullname]
        return spec_from_file_location(fullname, at, loader=_Loader(at, self.made))


def module_name(module: str) -> str:
    """Return the dotted name of a module."""
    return module.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def syntax_tree(module: str) -> ast.Module:
    """Return the tree of a module as it is."""
    return ast.parse((ROOT / module).read_text(encoding="utf-8"))


def every_change(modules: Sequence[str]) -> list[Change]:
    """Return all changes of some modules."""
    return [change for module in modules for change in changes(module, syntax_tree(module))]


def try_changes(
    drawn: Sequence[Change], tests: Sequence[str], *, jobs: int, say: Callable[[Tried], None]
) -> list[Tried]:
    """Make changes one at a time and tell which were noticed by some tests.

    Raises
    ------
    RuntimeError
        If the tests fail without any change.
    """
    for name in HEAVY:
        importlib.import_module(name)
    modules = sorted({change.module for change in drawn})
    shared: list[Tried] = []
    walks: dict[str, Walk] = {}
    by_name = {(change.module, change.line, change.name, index): change for index, change in enumerate(drawn)}
    keys = list(by_name)
    for line in _told_by(lambda tell: _collected(modules, tests, by_name, jobs, tell)):
        if "sound" in line:
            if not line["sound"]:
                raise RuntimeError(f"tests fail without any change: {line['test']}")
            where = frozenset((str(module), int(at)) for module, at in line["lines"])
            walks[line["test"]] = Walk(line["seconds"], where)
        else:
            shared.append(Tried(by_name[keys[line["index"]]], line["outcome"]))
            say(shared[-1])
    if len(shared) < sum(bool(change.first) for change in drawn):
        raise RuntimeError("the run ended before all changes were tried")
    outside = [change for change in drawn if not change.first]
    calls = [lambda change=change: _anew(change, _walking(walks, change)) for change in outside]
    for index, code in _forks(calls, jobs):
        shared.append(Tried(outside[index], code))
        say(shared[-1])
    return shared


def _told_by(work: Callable[[Callable[[Mapping[str, Any]], None]], None]) -> Iterator[dict[str, Any]]:
    """Run work in a fork and yield what it tells."""
    out, into = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(out)
        with os.fdopen(into, "w", encoding="utf-8") as pipe:
            work(lambda line: print(json.dumps(line), file=pipe, flush=True))
        os._exit(0)
    os.close(into)
    with os.fdopen(out, encoding="utf-8") as pipe:
        for line in pipe:
            yield json.loads(line)
    os.waitpid(pid, 0)


def _forks(calls: Sequence[Callable[[], int]], jobs: int) -> Iterator[tuple[int, int]]:
    """Run each call in a fork, some at a time; yield its place and how it ended."""
    running: dict[int, int] = {}
    waiting = list(range(len(calls)))[::-1]
    gc.freeze()
    while waiting or running:
        while waiting and len(running) < jobs:
            index = waiting.pop()
            pid = os.fork()
            if pid == 0:
                resource.setrlimit(resource.RLIMIT_CPU, (PATIENCE_S, resource.RLIM_INFINITY))
                try:
                    code = calls[index]()
                except BaseException:
                    code = NOTICED
                os._exit(code)
            running[pid] = index
        pid, status = os.wait()
        if pid in running:
            yield running.pop(pid), _outcome(os.waitstatus_to_exitcode(status))


def _outcome(code: int) -> int:
    if code == -signal.SIGXCPU:
        return CUT_OFF
    return code if code in (UNNOTICED, NOT_WALKED) else NOTICED


def _silent() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)


def _collected(
    modules: Sequence[str],
    tests: Sequence[str],
    drawn: Mapping[tuple[str, int, str, int], Change],
    jobs: int,
    tell: Callable[[Mapping[str, Any]], None],
) -> None:
    """Collect the tests over modules with probes, and try all changes inside functions."""
    _silent()
    walked: set[tuple[str, int]] = set()
    sys.meta_path.insert(0, _Finder(modules, lambda module: _probed(module, walked)))
    session = _Session(list(drawn.values()), jobs, walked, tell)
    pytest.main([*PYTEST, *tests], plugins=[session])


def _probed(module: str, walked: set[tuple[str, int]]) -> CodeType:
    """Return a module's code with a probe before each statement of its functions."""
    tree = syntax_tree(module)
    for function in [node for node in ast.walk(tree) if isinstance(node, FUNCTIONS)]:
        _put_probes(function)
    ast.fix_missing_locations(tree)
    __builtins__[PROBE] = lambda module, line: walked.add((module, line))  # type: ignore[index]
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and node.value is PROBE:
            node.value = module
    return compile(tree, str(ROOT / module), "exec")


def _put_probes(node: ast.AST) -> None:
    for _, value in ast.iter_fields(node):
        if isinstance(value, list) and value and isinstance(value[0], ast.stmt):
            value[:] = [part for statement in value for part in (_probe(statement), statement)]
        for child in value if isinstance(value, list) else (value,):
            if isinstance(child, (ast.stmt, ast.excepthandler, ast.match_case)) and not isinstance(child, FUNCTIONS):
                _put_probes(child)


def _probe(statement: ast.stmt) -> ast.Expr:
    arguments: list[ast.expr] = [ast.Constant(value=PROBE), ast.Constant(value=statement.lineno)]
    call = ast.Call(func=ast.Name(id=PROBE, ctx=ast.Load()), args=arguments, keywords=[])
    return ast.fix_missing_locations(ast.copy_location(ast.Expr(value=call), statement))


class _Session:
    """Stands in for the loop over tests: learns where each walks, then tries the changes."""

    def __init__(
        self,
        drawn: list[Change],
        jobs: int,
        walked: set[tuple[str, int]],
        tell: Callable[[Mapping[str, Any]], None],
    ) -> None:
        self.drawn = drawn
        self.jobs = jobs
        self.walked = walked
        self.tell = tell
        self.failed = False
        self.stop_at_failure = False

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note a failure; while a change is tried the first one ends the fork."""
        self.failed |= report.failed
        if report.failed and self.stop_at_failure:
            os._exit(1)

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Run all tests once with probes, then each change with those that walk over it."""
        if session.testsfailed:
            self.tell({"sound": False, "test": "they can't be collected"})
            return True
        files: dict[Path, list[pytest.Item]] = defaultdict(list)
        for item in session.items:
            files[item.path].append(item)
        out, into = os.pipe()
        pid = os.fork()
        if pid == 0:
            os.close(out)
            calls = [lambda items=items: self._walk(items, into) for items in files.values()]
            for _ in _forks(calls, self.jobs):
                pass
            os._exit(0)
        os.close(into)
        walks: dict[str, Walk] = {}
        with os.fdopen(out, encoding="utf-8") as pipe:
            for text in pipe:
                line = json.loads(text)
                self.tell(line)
                walks[line["test"]] = Walk(line["seconds"], frozenset((m, n) for m, n in line["lines"]))
                if not line["sound"]:
                    return True
        os.waitpid(pid, 0)
        items = {item.nodeid: item for item in session.items}
        inside = [(index, change) for index, change in enumerate(self.drawn) if change.first]
        self.stop_at_failure = True
        calls = [lambda change=change: self._try(change, items, walks) for _, change in inside]
        for place, code in _forks(calls, self.jobs):
            self.tell({"index": inside[place][0], "outcome": code})
        return True

    def _walk(self, items: list[pytest.Item], into: int) -> int:
        resource.setrlimit(resource.RLIMIT_CPU, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
        for item, following in zip(items, [*items[1:], None], strict=True):
            self.walked.clear()
            began = time.process_time()
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
            seconds = time.process_time() - began
            line = {"test": item.nodeid, "sound": not self.failed, "seconds": seconds, "lines": sorted(self.walked)}
            data = json.dumps(line) + "\n"
            _write_held(into, data.encode())
        return 0

    def _try(self, change: Change, items: Mapping[str, pytest.Item], walks: Mapping[str, Walk]) -> int:
        chosen = [items[name] for name in _walking(walks, change)]
        if not chosen:
            return NOT_WALKED
        _swap(change)
        for item, following in zip(chosen, [*chosen[1:], None], strict=True):
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        return 0


def _write_held(into: int, data: bytes) -> None:
    """Write a whole line although others write to the same pipe."""
    import fcntl

    with (ROOT / "pyproject.toml").open("rb") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        while data:
            data = data[os.write(into, data) :]


def _walking(walks: Mapping[str, Walk], change: Change) -> list[str]:
    """Return the tests that notice if any does: the quickest that walk over the line, or outside functions the module.

    After them come, as far as time allows, the other tests of their files: what one test works out another may look at.
    """
    if change.first:
        over = {name for name, walk in walks.items() if (change.module, change.line) in walk.lines}
    else:
        over = {name for name, walk in walks.items() if any(module == change.module for module, _ in walk.lines)}
    files = {name.partition("::")[0] for name in over}
    beside = {name for name in walks if name.partition("::")[0] in files} - over
    chosen, seconds = [], 0.0
    for group in (over, beside):
        for name in sorted(group, key=lambda name: (walks[name].seconds, name)):
            seconds += walks[name].seconds
            if chosen and seconds > TESTS_S:
                break
            chosen.append(name)
    return chosen


def _swap(change: Change) -> None:
    """Give the changed function of the module that is in use its other code."""
    tree = syntax_tree(change.module)
    code = _changed_code(change, tree)
    module = sys.modules[module_name(change.module)]
    function = change.function.rpartition(".")[2]
    other = next(part for part in _codes(code) if (part.co_name, part.co_firstlineno) == (function, change.first))
    kept = next(
        part
        for part in _functions(module)
        if (part.__code__.co_name, part.__code__.co_firstlineno) == (function, change.first)
    )
    kept.__code__ = other


def _changed_code(change: Change, tree: ast.Module) -> CodeType:
    """Return a module's code with a change in it, found again in a fresh tree."""
    twin = next(
        other
        for other in changes(change.module, tree)
        if (other.line, other.name) == (change.line, change.name) and _at(other) == _at(change)
    )
    twin.slot.put(twin.node)
    ast.fix_missing_locations(tree)
    return compile(tree, str(ROOT / change.module), "exec")


def _at(change: Change) -> tuple[object, ...]:
    parent = change.slot.parent
    return change.slot.field, change.slot.place, getattr(parent, "lineno", 0), getattr(parent, "col_offset", 0)


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _codes(constant)


def _functions(module: ModuleType) -> Iterator[FunctionType]:
    """Yield the functions of a module and of its classes, as they were before any decorator."""
    for thing in list(vars(module).values()):
        members = vars(thing).values() if isinstance(thing, type) else ()
        for member in (thing, *members):
            inner = member
            for name in ("fget", "func", "__func__"):
                inner = getattr(inner, name, inner)
            while hasattr(inner, "__wrapped__"):
                inner = inner.__wrapped__
            if isinstance(inner, FunctionType):
                yield inner


def _anew(change: Change, tests: Sequence[str]) -> int:
    """Read the module with the change in it, and run tests on it."""
    if not tests:
        return 3
    _silent()
    sys.meta_path.insert(0, _Finder([change.module], lambda module: _changed_code(change, syntax_tree(module))))
    return int(pytest.main([*PYTEST, "-x", *dict.fromkeys(tests)]))
