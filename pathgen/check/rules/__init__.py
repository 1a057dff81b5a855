"""The rules of the check, one module a kind."""
