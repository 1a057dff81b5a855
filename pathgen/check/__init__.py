"""From moves and actions to material removed, finished sizes and findings."""
