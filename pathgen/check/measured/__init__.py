"""Features as the moves leave them: their finished sizes."""
