"""Fixture plates of a frame: which parts, where they stand, what is engraved and drawn of them."""
