"""What stands in the way of placing a tube in space."""

from __future__ import annotations


class MisfitError(ValueError):
    """A tube that cannot be placed as it is bent: why, and which one it is once that is known.

    `tube` is a tube's name, of a pair of stays the pair's (chain_stay, seat_stay).
    """

    def __init__(self, reason: str, tube: str = "") -> None:
        super().__init__(reason, tube)
        self.reason = reason
        self.tube = tube

    def __str__(self) -> str:
        return self.reason

    def of(self, tube: str) -> MisfitError:
        """The same, of the tube called so."""
        return MisfitError(self.reason, tube)
