"""What a person or a program is handed: the screen, the JSON, and the commands."""
