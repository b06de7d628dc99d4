"""What laying refuses: always by how much, and what would help."""

from calibration.errors import Refused


class ClothTooSmall(Refused):
    """A piece, or all of them, do not fit on the cloth so folded."""


class FoldRefused(Refused):
    """The fold does not go with this cloth: it would turn the print, or the cloth is cut in one layer only."""


class PieceCrossed(Refused):
    """A piece whose cut line crosses itself cannot be laid: the draft is at fault."""
