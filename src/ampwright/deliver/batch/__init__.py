"""Many jobs at once: steps that make something of a job, on one machine or on several."""
