"""The intermediate form between planners, writers, readers and the check."""
