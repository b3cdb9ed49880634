"""Dataclasses that are quick to declare: their methods are made when one is first called.

The library's decorator compiles six methods for each class, about a millisecond; a command imports some 400 classes,
makes values of half of them, and compares few. ``__init__`` does what the library's does; the others are its own.
"""

from __future__ import annotations

import dataclasses
from dataclasses import MISSING, FrozenInstanceError, field
from types import MemberDescriptorType
from typing import TYPE_CHECKING, Any

__all__ = ["dataclass", "field"]

if TYPE_CHECKING:
    from collections.abc import Callable
    from dataclasses import dataclass
else:

    def dataclass(
        cls: type | None = None, /, *, frozen: bool = False, eq: bool = True, order: bool = False, **others: bool
    ) -> Any:
        """Declare a dataclass as the library's decorator does, and compile nothing yet.

        One that inherits from another dataclass is left to the library.

        Parameters
        ----------
        frozen, eq, order, others
            As the library takes them; of ``others`` only ``slots`` and ``kw_only``.
        """
        if cls is None:
            return lambda declared: dataclass(declared, frozen=frozen, eq=eq, order=order, **others)
        if any(hasattr(base, "__dataclass_fields__") for base in cls.__bases__):
            return dataclasses.dataclass(cls, frozen=frozen, eq=eq, order=order, **others)
        light = dataclasses.dataclass(cls, init=False, repr=False, eq=False, **others)
        options = {"repr": True, "eq": eq, "order": order, "frozen": frozen}
        for name, value in {"init": True, **options}.items():
            setattr(light.__dataclass_params__, name, value)
        own = light.__dict__
        names = ["__init__", "__repr__"]
        if eq:
            names.append("__eq__")
            if own.get("__hash__") is None:  # none of its own; Python says None where only __eq__ is written
                light.__hash__ = None
                names += ["__hash__"] if frozen else []
        if order:
            names += ["__lt__", "__le__", "__gt__", "__ge__"]
        waiting = [name for name in names if own.get(name) is None]
        for name in waiting:
            setattr(light, name, _first_call(light, name, waiting, options | others))
        if frozen:
            light.__setattr__, light.__delattr__ = _refusing(light)
            if others.get("slots") and "__getstate__" not in own:
                light.__getstate__, light.__setstate__ = _state, _with_state
        return light


def _first_call(cls: type, name: str, waiting: list[str], options: dict[str, bool]) -> Callable[..., Any]:
    """Return what stands for a method until it is called: then it is made."""

    def first(self: object, *args: object, **kwargs: object) -> object:
        if name == "__init__":
            _make_init(cls, is_frozen=options["frozen"])
        else:
            _make_others(cls, waiting, options)
        return getattr(cls, name)(self, *args, **kwargs)

    first.__name__ = name
    first.__qualname__ = f"{cls.__qualname__}.{name}"
    return first


def _make_init(cls: Any, *, is_frozen: bool) -> None:
    """Compile ``__init__``: a frozen value's slots are written by their own descriptors, which is quickest."""
    within: dict[str, Any] = {"_default": MISSING, "_set": object.__setattr__}
    heads: list[str] = []
    by_name: list[str] = []
    lines: list[str] = []
    for each in dataclasses.fields(cls):
        name, value = each.name, each.name
        if each.default_factory is not MISSING:
            within[f"_make_{name}"] = each.default_factory
            value = f"_make_{name}()" if not each.init else f"_make_{name}() if {name} is _default else {name}"
        elif each.default is not MISSING:
            within[f"_default_{name}"] = each.default
        if each.init:
            known = "" if value == name and each.default is MISSING else "=_default" + f"_{name}" * (value == name)
            (by_name if each.kw_only else heads).append(name + known)
        elif each.default_factory is MISSING:
            if each.default is MISSING:
                continue
            value = f"_default_{name}"
        slot = cls.__dict__.get(name)
        if not is_frozen:
            lines.append(f"self.{name} = {value}")
        elif isinstance(slot, MemberDescriptorType):
            within[f"_set_{name}"] = slot.__set__
            lines.append(f"_set_{name}(self, {value})")
        else:
            lines.append(f"_set(self, {name!r}, {value})")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    head = ", ".join(["self", *heads, *(["*", *by_name] if by_name else [])])
    made: dict[str, Any] = {}
    exec(f"def __init__({head}):\n " + "\n ".join(lines or ["pass"]), within, made)
    init = made["__init__"]
    init.__module__, init.__qualname__ = cls.__module__, f"{cls.__qualname__}.__init__"
    cls.__init__ = init


def _make_others(cls: type, waiting: list[str], options: dict[str, bool]) -> None:
    """Give a class the other methods that the library makes for one with the same fields."""
    fields = dataclasses.fields(cls)
    body: dict[str, Any] = {"__annotations__": {each.name: each.type for each in fields}}
    body |= {each.name: each for each in fields}
    body |= {"__module__": cls.__module__, "__qualname__": cls.__qualname__, "__doc__": cls.__doc__}
    whole: type = dataclasses.dataclass(type(cls.__name__, (), body), init=False, **options)
    for name in waiting:
        if name != "__init__":
            setattr(cls, name, whole.__dict__[name])


def _refusing(cls: Any) -> tuple[Callable[..., None], Callable[..., None]]:
    """Return what a frozen class does where a field is set or deleted."""

    def refuse_setting(self: object, name: str, value: object) -> None:
        if type(self) is cls or name in cls.__dataclass_fields__:
            raise FrozenInstanceError(f"cannot assign to field {name!r}")
        super(cls, self).__setattr__(name, value)

    def refuse_deleting(self: object, name: str) -> None:
        if type(self) is cls or name in cls.__dataclass_fields__:
            raise FrozenInstanceError(f"cannot delete field {name!r}")
        super(cls, self).__delattr__(name)

    return refuse_setting, refuse_deleting


def _state(self: Any) -> list[object]:
    return [getattr(self, each.name) for each in dataclasses.fields(self)]


def _with_state(self: Any, state: list[object]) -> None:
    for each, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, each.name, value)
