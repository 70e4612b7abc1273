"""Pure functions on plain numbers: no table, no job, no country. Every call is keyword-only."""
