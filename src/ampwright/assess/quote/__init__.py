"""What to ask for a design: lines of material and work, overhead, margin and VAT, as a band, and what narrows it."""
