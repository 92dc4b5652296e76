"""Flat parts cut from plate: contours of lines and arcs, and what can be known of them. Pure maths, mm."""
