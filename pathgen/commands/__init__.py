"""The commands of the command line, one module each: where core and postprocessors meet."""
