"""Figures that callouts put on a drawing: what each costs to cross, and whose it is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, NamedTuple, TypeVar

import numpy as np

from layout.drafting.meeting import Array, Figures, Indices

NOBODY = -1
"""The number of whose they are where they were drawn before any callout was placed."""

F = TypeVar("F", bound=Figures)


class Owned(NamedTuple, Generic[F]):
    """Boxes or pieces, `prices` (n,) to cross each, and `of` (n,), the number of the callout each is of."""

    figures: F
    prices: Array
    of: Indices

    @staticmethod
    def by(owner: int, figures: F, prices: Array | None = None) -> Owned[F]:
        """All of one callout; at no price where none is given."""
        count = len(figures)
        return Owned(figures, np.zeros(count) if prices is None else prices, np.full(count, owner))

    @staticmethod
    def joined(parts: Sequence[Owned[F]]) -> Owned[F]:
        """Several as one."""
        first = parts[0].figures
        return Owned(
            first.joined(part.figures for part in parts),
            np.concatenate([part.prices for part in parts]),
            np.concatenate([part.of for part in parts]),
        )

    def without(self, owner: int) -> Owned[F]:
        """Without those of one callout."""
        index = np.flatnonzero(self.of != owner)
        return Owned(self.figures.some(index), self.prices.take(index), self.of.take(index))

    def owned(self, owner: int) -> Owned[F]:
        """The same, all of one callout."""
        return self._replace(of=np.full(len(self.of), owner))

    def paid_back(self) -> Owned[F]:
        """The same at negative prices."""
        return self._replace(prices=-self.prices)

    def price(self, index: Indices, payer: Indices | int | None) -> Array:
        """What crossing those at `index` (m,) costs a payer each, or one: nothing for its own."""
        price = self.prices[index]
        return price if payer is None else price * (self.of[index] != payer)
