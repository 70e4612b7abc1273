"""The papers of a job: what each says, and how it is printed."""
