"""Work on a rotary table."""
