"""Reading what a person wrote: places, errors, tables, lengths."""
