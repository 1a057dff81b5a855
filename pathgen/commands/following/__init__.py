"""A sheet followed in the terminal: where the work stands, its log, what the screen shows."""
