"""What follows from the rules: the whole job judged, and what to find out next."""
