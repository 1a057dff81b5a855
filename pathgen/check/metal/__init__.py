"""The metal, and what the moves clear of it."""
