"""Sheets of handwheel readings: the writer, the replay, the faces of the sheet."""
