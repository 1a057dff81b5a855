"""What is wanted of features at their limits, as plane regions."""
