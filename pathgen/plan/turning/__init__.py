"""Planning turned work: faces, diameters, parting off."""
