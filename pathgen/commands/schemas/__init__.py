"""JSON Schemas of the files that a person writes, as made, and their making."""
