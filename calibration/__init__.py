"""Photographs of printed sheets in, a true map from table millimetres to projector pixels out."""
