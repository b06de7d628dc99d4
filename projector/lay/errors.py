"""What laying refuses: always by how much, and what would help."""

from calibration.errors import Refused


class ClothTooSmall(Refused):
    """A piece, or all of them, do not fit on the cloth so folded.

    `helps`: what would, but for another fold (`take 120 mm more`); `lacks_mm`: of the cloth's width, or of its length.
    """

    def __init__(self, what: str, why: str, next_step: str, helps: str = "", lacks_mm: float = 0.0) -> None:
        super().__init__(what, why, next_step)
        self.helps, self.lacks_mm = helps, lacks_mm


class ClothTooShort(ClothTooSmall):
    """The shortest lay found so far is longer than the cloth in hand, by `lacks_mm`: a longer search may do."""


class FoldRefused(Refused):
    """The fold does not go with this cloth: it would turn the print, or the cloth is cut in one layer only."""


class PieceCrossed(Refused):
    """A piece whose cut line crosses itself cannot be laid: the draft is at fault."""
