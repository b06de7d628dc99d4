"""Several dresses in one cloth: pieces renamed by person, laid together; what it saves."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from calibration.errors import WrongInput
from calibration.units import yards_saved_text
from projector.garment.pieces import Garment, Join, Piece, Seam


def tagged(person: str, piece: str) -> str:
    """The name a piece carries when several dresses lie together: `Ama: skirt front`."""
    return f"{person}: {piece}"


def person_of(name: str) -> str:
    """Whose piece it is, by its name; empty for a dress alone."""
    person, colon, _ = name.partition(":")
    return person if colon else ""


def together(garments: Mapping[str, Garment]) -> Garment:
    """One garment of all persons' pieces, each named by person.

    Raises WrongInput for a name that cannot be told apart on a tag.
    """
    for person in garments:
        if not person.strip() or ":" in person:
            raise WrongInput(f"{person!r} cannot stand on a tag.", "A name without colon is wanted.", "Give each person a name or number.")
    pieces = [_named(person, piece) for person, garment in garments.items() for piece in garment.pieces]
    seams = [_seam(person, seam) for person, garment in garments.items() for seam in garment.seams]
    joins = [_join(person, join) for person, garment in garments.items() for join in garment.joins]
    warnings = [f"{person}: {warning}" for person, garment in garments.items() for warning in garment.warnings]
    return Garment(tuple(pieces), tuple(seams), tuple(joins), {}, {}, tuple(warnings), ", ".join(garments))


def _named(person: str, piece: Piece) -> Piece:
    return replace(piece, name=tagged(person, piece.name))


def _seam(person: str, seam: Seam) -> Seam:
    a, b = (tuple((tagged(person, piece), edge) for piece, edge in side) for side in (seam.a, seam.b))
    return replace(seam, name=tagged(person, seam.name), a=a, b=b)


def _join(person: str, join: Join) -> Join:
    return replace(join, name=tagged(person, join.name), at=tuple((tagged(person, p), a, b) for p, a, b in join.at))


@dataclass(frozen=True, slots=True)
class Saving:
    """Laid together against each apart, mm of cloth."""

    together_mm: float
    apart_mm: float

    @property
    def words(self) -> str:
        """`saves 3/8 yd (37 cm)`, both rounded down; under a centimetre is nothing."""
        saved_cm = int((self.apart_mm - self.together_mm) / 10.0)
        if saved_cm < 1:
            return "saves nothing"
        yards = yards_saved_text(self.apart_mm - self.together_mm)
        return f"saves {saved_cm} cm" if yards == "0 yd" else f"saves {yards} ({saved_cm} cm)"
