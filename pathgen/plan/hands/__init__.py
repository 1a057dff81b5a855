"""Areas on handles: straight strips, steps along walls, what is filed to a line."""
