"""The setup sheet: jig settings in the order of the work, cut list, what to look at."""
