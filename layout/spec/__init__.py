"""load: the YAML model, its loader and JSON Schema, tables of standard parts."""
