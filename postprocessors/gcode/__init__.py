"""Programs for converted machines: the writer, and a reader that shares nothing with it."""
