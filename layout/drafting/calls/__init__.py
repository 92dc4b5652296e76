"""Callouts to be placed: each lists the places it could take, with what the place itself costs.

    LengthCall   a dimension; its line in ranks beside what it measures, either side
    CheckCall    a distance lettered on the straight line between its points
    AngleCall    an arc about a vertex, the value outside or inside it
    NoteCall     words beside a point, with a leader where they stand off

Prices are millimetre-like: a rank further out costs its distance, so short dimensions lie
inside long ones when they are placed first. Places come in batches with rising floors, so
that the search can stop early; a place's entities are made only once it is chosen. Where pages join,
a call's `seam_batches` are offered too: what is only worth its price to keep clear of a seam.
"""

from __future__ import annotations

from layout.drafting.calls.angles import AngleCall
from layout.drafting.calls.batch import PlaceBatch
from layout.drafting.calls.lengths import CheckCall, LengthCall
from layout.drafting.calls.notes import NoteCall

__all__ = ["AngleCall", "Call", "CheckCall", "LengthCall", "NoteCall", "PlaceBatch"]

Call = LengthCall | CheckCall | AngleCall | NoteCall
