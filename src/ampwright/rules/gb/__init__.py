"""The GB book: what each rule is called, and one file a subject."""
