"""The law: one function, one clause, one question."""
