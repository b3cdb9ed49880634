"""Run the compiled annealing: load the WebAssembly, hand it a problem, read the best state back."""

from __future__ import annotations

import atexit
from array import array
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass
from layout.placing.engine.stage_result import Positions

if TYPE_CHECKING:
    from layout.placing.engine.kernel.problem_block import Tables

WASM = Path(__file__).with_name("anneal.wasm")
"""Built from anneal.c by compile_kernel.py; the same bytes on every machine."""

PIECE = 50_000
"""Moves between two looks at the host: some 20 to 50 ms."""

_PAGE = 65536


class MissingKernelError(ImportError):
    """The machine has no WebAssembly runtime, so annealing is not to be had."""


@cache
def _module() -> tuple[Any, Any]:
    try:
        import wasmtime
    except (ImportError, OSError) as error:
        raise MissingKernelError(f"wasmtime cannot be loaded: {error}") from error
    atexit.register(_module.cache_clear)  # it must go before the interpreter takes the runtime down
    engine = wasmtime.Engine()
    return engine, wasmtime.Module(engine, WASM.read_bytes())


def available() -> None:
    """Load the kernel.

    Raises
    ------
    MissingKernelError
        When this machine has no WebAssembly runtime.
    """
    _module()


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """Cooling: heat and push (cost of one step of violation), each from first to last, in cost units.

    ``reach`` is the longest shift at the beginning, in steps; it shrinks to 2.
    """

    heat: tuple[int, int]
    push: tuple[int, int]
    reach: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """Best state of a run so far; ``cost`` and ``violation`` as the kernel counts them, ``moves`` of the machine."""

    valid: bool
    cost: int
    violation: int
    arrangement: Positions
    moves: int = 0


class Machine:
    """One instance of the kernel with its own memory; not to be shared between threads."""

    def __init__(self, tables: Tables) -> None:
        import wasmtime

        engine, module = _module()
        self._store = wasmtime.Store(engine)
        try:
            exports: Any = wasmtime.Instance(self._store, module, []).exports(self._store)
        except wasmtime.WasmtimeError as error:
            raise MemoryError("the placing kernel gets no address space from this machine") from error
        self._exports = exports
        memory: Any = self._exports["memory"]
        self._memory = memory
        self._items = tables.items
        self._left = self.moves = 0
        start = self._memory.data_len(self._store)
        self._grow_to(start + len(tables.block))
        self._memory.write(self._store, tables.block, start)
        self._grow_to(self._call("setup", start, 1) & 0xFFFFFFFF)
        self._call("setup", start, 0)
        self._state = self._call("state") & 0xFFFFFFFF

    def _call(self, name: str, *arguments: int) -> int:
        result = self._exports[name](self._store, *arguments)
        return 0 if result is None else int(result)

    def _grow_to(self, size: int) -> None:
        missing = size - self._memory.data_len(self._store)
        if missing > 0 and self._memory.grow(self._store, -(-missing // _PAGE)) < 0:
            raise MemoryError("the placing kernel gets no more memory from this machine")

    def write(self, start: Positions) -> None:
        """Put a state where the next run with ``from_state`` begins."""
        words = [
            word
            for (x, y), turn, present in zip(start.positions, start.turns, start.present, strict=True)
            for word in (x, y, turn, int(present))
        ]
        self._memory.write(self._store, array("i", words).tobytes(), self._state + 24)

    def begin(self, seed: int, moves: int, law: Law, *, from_state: bool = False, only_valid: bool = False) -> None:
        """Set a run up.

        Parameters
        ----------
        seed, moves
            Of this run.
        law
            How it cools.
        from_state
            Begin at the state written, or at the best of the run before; else at chance places.
        only_valid
            Take no notice of costs, and end at the first valid state.
        """
        self._left = moves
        levels = [_level(number) for pair in (law.heat, law.push) for number in pair]
        self._call("begin", seed, moves, *levels, law.reach, int(from_state), int(only_valid))

    def run(self, moves: int = PIECE) -> int:
        """Do up to so many moves; return how many are left of the run."""
        left = self._call("run", moves)
        self.moves += min(moves, self._left)
        self._left = left
        return left

    def best(self) -> Best:
        """Read the best state so far."""
        raw = bytes(self._memory.read(self._store, self._state, self._state + 24 + 16 * self._items))
        words = memoryview(raw).cast("i")
        long = memoryview(raw).cast("q")
        states = [tuple(words[6 + 4 * k : 10 + 4 * k]) for k in range(self._items)]
        return Best(
            valid=bool(words[0]),
            cost=long[1],
            violation=long[2],
            moves=self.moves,
            arrangement=Positions(
                positions=tuple((x, y) for x, y, _, _ in states),
                turns=tuple(t for _, _, t, _ in states),
                present=tuple(bool(p) for _, _, _, p in states),
            ),
        )


def _level(number: int) -> int:
    """Return log2 of a positive number in 1/65536, straight between powers of two (as in anneal.c)."""
    whole = number.bit_length() - 1
    return (whole << 16) + (((number - (1 << whole)) << 16) >> whole)
