"""Drafting: the Drawing and its entities, lettering, dimensions, the placer, tables.

Knows nothing of bicycles, paper or file formats. Millimetres; x to the right, y up;
angles in degrees, counter-clockwise positive.
"""
