"""What the shop has: machines, cutters, materials."""
