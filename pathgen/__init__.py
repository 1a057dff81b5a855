"""From a sketched part to proved G-code or a sheet of handwheel readings."""

__version__ = "0.1.0"
