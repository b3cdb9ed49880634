"""Small wrong changes of a module: each replaces one node of its syntax tree."""

from __future__ import annotations

import ast
import copy
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

SWAPPED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd,
}  # fmt: skip
OTHER_CALL = {"min": "max", "max": "min", "any": "all", "all": "any"}
ROUNDING = 1e-5
"""A number no greater than this makes room for rounding; no test can tell it from another."""
ROUNDING_SHARE = 1e-3
"""So does a factor no farther from 1 than this. At a limit with such room in it "up to" and "below" are the same."""
ORDERED = (ast.Lt, ast.LtE, ast.Gt, ast.GtE)
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)
WORDS = (ast.JoinedStr, ast.Raise)
"""What a message is made of; its words are read by other tests."""


class Slot(NamedTuple):
    """Where a node hangs: its parent, the field, and the place in it if the field is a list."""

    parent: ast.AST
    field: str
    place: int | None

    def put(self, node: ast.AST) -> None:
        """Hang another node there."""
        if self.place is None:
            setattr(self.parent, self.field, node)
        else:
            getattr(self.parent, self.field)[self.place] = node


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One wrong change.

    Attributes
    ----------
    module, line
        Path of the module below the checkout; line of the statement.
    function
        Outermost function, with its class; empty where the line runs when the module is imported.
    first
        Line on which that function begins, 0 without one.
    before, after
        Source of the node that is replaced.
    slot, node
        What is hung where; ``slot.put(node)`` makes the change in the tree it was drawn from.
    """

    module: str
    line: int
    function: str
    first: int
    before: str
    after: str
    slot: Slot
    node: ast.AST

    @property
    def name(self) -> str:
        """What was changed to what, in which function: the same when lines move."""
        return f"{self.function or 'module'}: {self.before} -> {self.after}"


class _Place(NamedTuple):
    function: str
    first: int
    line: int


def changes(module: str, tree: ast.Module) -> Iterator[Change]:
    """Yield every change of a module; decorators, annotations, messages and room for rounding are left alone."""
    yield from _below(module, tree, _Place("", 0, 0), inside=False)


def _below(module: str, parent: ast.AST, at: _Place, *, inside: bool) -> Iterator[Change]:
    for name, value in ast.iter_fields(parent):
        if name in {"decorator_list", "annotation", "returns", "keywords"} and not isinstance(parent, ast.Call):
            continue
        for place, node in enumerate(value) if isinstance(value, list) else ((None, value),):
            if not isinstance(node, ast.AST) or isinstance(node, WORDS) or _left_alone(parent, name, node):
                continue
            deep, here = inside, at
            if isinstance(node, ast.stmt):
                here = at._replace(line=node.lineno)
            if isinstance(node, (*FUNCTIONS, ast.ClassDef)) and not inside:
                here = here._replace(function=f"{at.function}.{node.name}".lstrip("."))
            if isinstance(parent, FUNCTIONS) and name == "body" and not inside:
                deep = True
            elif isinstance(node, FUNCTIONS) and not inside:
                first = min((decorator.lineno for decorator in node.decorator_list), default=node.lineno)
                here = here._replace(first=first)
            slot = Slot(parent, name, place)
            for other in _others(node, parent, name):
                said = ("drop " + ast.unparse(node), "") if other is None else (ast.unparse(node), ast.unparse(other))
                if said[0] == said[1]:
                    continue
                owner = here if deep else here._replace(first=0)
                yield Change(
                    module=module,
                    line=here.line,
                    function=owner.function,
                    first=owner.first,
                    before=said[0],
                    after=said[1],
                    slot=slot,
                    node=other if other is not None else ast.Constant(value=True),
                )
            yield from _below(module, node, here, inside=deep)


def _left_alone(parent: ast.AST, field: str, node: ast.AST) -> bool:
    """Tell whether a node is no rule: text, types, digits to round to, room for rounding, how two rows are zipped."""
    if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
        return True
    if isinstance(node, ast.keyword) and node.arg in {"strict", "key", "source"}:
        return True
    if isinstance(node, (ast.Import, ast.ImportFrom)):
        return True
    if isinstance(parent, ast.Call) and isinstance(parent.func, ast.Name) and parent.func.id == "round":
        return field == "args" and node is not parent.args[0]
    return _is_rounding(node)


def _is_rounding(node: ast.AST) -> bool:
    if not isinstance(node, ast.Constant) or not isinstance(node.value, float) or node.value == 0.0:
        return False
    return abs(node.value) <= ROUNDING or 0 < abs(node.value - 1.0) <= ROUNDING_SHARE


def _others(node: ast.AST, parent: ast.AST, field: str) -> Iterator[ast.AST | None]:  # noqa: C901, PLR0912
    """Yield what may stand in a node's place."""
    if field == "ifs":
        yield ast.Constant(value=True)
    elif field == "test" and isinstance(parent, (ast.If, ast.IfExp)):
        yield ast.Constant(value=True)
        yield ast.Constant(value=False)
    if isinstance(node, ast.Compare):
        sides = [node.left, *node.comparators]
        for index, op in enumerate(node.ops):
            roomy = any(_is_rounding(part) for side in sides[index : index + 2] for part in ast.walk(side))
            if type(op) in SWAPPED and not (roomy and isinstance(op, ORDERED)):
                other = copy.deepcopy(node)
                other.ops[index] = SWAPPED[type(op)]()  # type: ignore[call-overload]
                yield other
    elif isinstance(node, ast.BoolOp):
        yield ast.BoolOp(op=SWAPPED[type(node.op)](), values=node.values)  # type: ignore[arg-type]
        for index in range(len(node.values)):
            rest = node.values[:index] + node.values[index + 1 :]
            yield rest[0] if len(rest) == 1 else ast.BoolOp(op=node.op, values=rest)
    elif isinstance(node, (ast.BinOp, ast.AugAssign)) and type(node.op) in SWAPPED:
        beside = node.right if isinstance(node, ast.BinOp) else node.value
        if not _is_rounding(beside):
            other = copy.copy(node)
            other.op = SWAPPED[type(node.op)]()  # type: ignore[assignment]
            yield other
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield node.operand
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in OTHER_CALL:
        other = copy.copy(node)
        other.func = ast.Name(id=OTHER_CALL[node.func.id], ctx=ast.Load())
        yield other
    elif isinstance(node, ast.Constant) and type(node.value) is bool:
        yield ast.Constant(value=not node.value)
    elif isinstance(node, ast.Constant) and type(node.value) is int:
        yield ast.Constant(value=node.value + 1)
    elif isinstance(node, ast.Constant) and type(node.value) is float:
        yield ast.Constant(value=node.value * 1.01 if node.value else 0.01)
    elif isinstance(node, ast.Return) and node.value is not None and not isinstance(node.value, ast.Constant):
        yield ast.Return(value=ast.Constant(value=None))
    elif isinstance(node, ast.Continue):
        yield ast.Break()
    elif isinstance(node, ast.Break):
        yield ast.Continue()
