"""Writers and readers of what is handed over: programs, dial sheets, drawings."""
