"""Plain words for numbers that fix no frame: too few, contradictory, impossible, or two frames."""
