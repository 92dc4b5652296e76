"""Mitre wrap templates and their words."""
