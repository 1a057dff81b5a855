"""Reading what parts go together, and settling what follows from it."""
