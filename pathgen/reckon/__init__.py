"""Trade arithmetic: pure functions and the published tables they lean on."""
