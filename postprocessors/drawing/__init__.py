"""Drawings of the wanted part and of the moves."""
