"""The check of turned work: exact outlines in the half plane through the axis."""
