"""lay: a Drawing on paper. Media (data), roll and cut sheets, tiles, border, title block, marks.

May move, turn by 90 degrees and clip; there is no scale here.
"""
