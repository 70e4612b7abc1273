"""A screen for each capability: its own addresses, its own page, its own dataclass."""
