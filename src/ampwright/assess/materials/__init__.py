"""What to buy, to cut and to load for a job: cables, fixings, glands, enclosures, earthing, labels, tools, drums."""
