"""What is wanted of turned work, and reading it."""
