"""The fixture's plates: design, parts, engraving, order list."""
