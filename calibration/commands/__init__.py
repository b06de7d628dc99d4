"""One file per command; the function has the module's name."""
