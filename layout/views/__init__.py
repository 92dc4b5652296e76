"""draft: what is drawn of a Frame, one module a view."""
