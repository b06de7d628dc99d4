"""What laying refuses: always by how much, and what would help."""

from calibration.errors import Refused


class ClothTooSmall(Refused):
    """A piece, or all of them, do not fit on the cloth so folded."""


class ClothTooShort(ClothTooSmall):
    """The shortest lay found so far is longer than the cloth in hand, by `short_mm`: a longer search may do."""

    def __init__(self, what: str, why: str, next_step: str, short_mm: float = 0.0) -> None:
        super().__init__(what, why, next_step)
        self.short_mm = short_mm


class FoldRefused(Refused):
    """The fold does not go with this cloth: it would turn the print, or the cloth is cut in one layer only."""


class PieceCrossed(Refused):
    """A piece whose cut line crosses itself cannot be laid: the draft is at fault."""
