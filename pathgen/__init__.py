"""From a sketched part to proved G-code or a sheet of handwheel readings."""

__version__ = "0.1.0"

INCH = 25.4  # mm, exactly; written here only, so that every part may have it
