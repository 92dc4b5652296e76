"""Checks that close the loop: read-back of written files."""
