"""What is wanted: the blank, the setups, the features and their limits."""
