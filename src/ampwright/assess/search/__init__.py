"""The search for a circuit: every combination of a catalogue's choices, judged by the rules of the book."""
