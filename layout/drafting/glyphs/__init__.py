"""The single-stroke alphabet: letters, signs, and how their strokes are written."""
