"""An attribute computed when first asked for, then kept: functools.cached_property without its lock.

Python 3.11's takes a lock at each first access, which costs more than most of the
formulas it would guard here; a plane frame is never shared between threads while it is built.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, TypeVar, overload

T = TypeVar("T")


class lazy(Generic[T]):  # noqa: N801 - used as a decorator, like property
    """Decorate a method without arguments: its value replaces it on the instance."""

    def __init__(self, function: Callable[[Any], T]) -> None:
        self.function = function
        self.__doc__ = function.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = name

    @overload
    def __get__(self, instance: None, owner: type) -> lazy[T]: ...

    @overload
    def __get__(self, instance: object, owner: type) -> T: ...

    def __get__(self, instance: object | None, owner: type) -> T | lazy[T]:
        if instance is None:
            return self
        value = self.function(instance)
        instance.__dict__[self.name] = value
        return value
