"""What a sheet is handed over as: text, JSON."""
