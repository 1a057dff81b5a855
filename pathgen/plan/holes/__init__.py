"""Holes: spotted, drilled, reamed, counterbored, tapped."""
