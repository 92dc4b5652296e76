"""write: sheets and drawings to files; a writer knows nothing of bicycles."""
