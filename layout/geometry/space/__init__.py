"""The frame in space: tubes, the curves they are cut to, and the gaps between parts. Pure maths on numpy."""
