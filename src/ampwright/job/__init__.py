"""The job record: typed once, everything else computed from it."""
