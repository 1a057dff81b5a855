"""Dishes and domes: by a fly cutter, and by a ball-nose."""
