"""Slots: drilled, milled, reamed, by control or by hand."""
