"""A drawing on pages that tape together: the grid, the pages, their marks, the map."""
