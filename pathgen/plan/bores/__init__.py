"""Bores: led round by a control, or opened with a boring head."""
