"""DXF: the model at 1:1, its layouts, and plates to cut. Only `file` imports the DXF library."""
