"""The page that redraws when the file is saved: what it shows, its server, its script and style.

    file saved (changes) -> Preview.take -> Edition -> Preview.answer -> server -> page/

Nothing here draws: sheets come from the pipeline, their SVG from the writer.
"""
