"""Jobs kept as an append-only list of field changes."""
