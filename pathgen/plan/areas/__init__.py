"""Pockets, outsides, steps and faces on machines that go along arcs, and what hands share."""
