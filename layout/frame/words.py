"""How names read on paper: plain words, BB in capitals."""

from __future__ import annotations


def words(name: str) -> str:
    """A dimension's or point's name as lettered.

    >>> words("bb_drop"), words("head_tube_top")
    ('BB drop', 'head tube top')
    """
    return " ".join("BB" if w == "bb" else w for w in name.split("_"))
