"""Dishes and domes: their surface, their sizes, their rules."""
