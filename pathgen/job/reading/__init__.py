"""Reading the features of milled work, and how it is held."""
