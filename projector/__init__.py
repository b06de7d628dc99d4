"""From a client's measures to true lines on folded cloth."""

__version__ = "0.1.0"
