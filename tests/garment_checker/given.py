"""What the other rules are judged by is there: a measure, a level or a mark that the file leaves out would leave them silent."""

from collections.abc import Iterator

from tests.garment_checker.fault import Fault
from tests.garment_checker.girths import is_above
from tests.garment_checker.model import Edge, Garment, Piece

ALWAYS = {"waist", "hip", "stature", "waist_hip", "waist_knee", "waist_floor"}
OF_A_BODICE = {"bust", "underbust", "upper_arm"}
OF_A_SLEEVE = {"wrist"}
LEVELS_OF_A_BODICE = ("bust", "underbust", "underarm")
BUST_NOTCH_MM = 1.6  # a sixteenth of an inch along the seam, as partners' notches


def measures(garment: Garment) -> Iterator[Fault]:
    """The measures by which girths, armholes, sleeves and walking are judged."""
    wanted = set(ALWAYS)
    wanted |= OF_A_BODICE if any(is_above(piece) for piece in garment.main) else set()
    wanted |= OF_A_SLEEVE if any("cap" in piece.kinds for piece in garment.main) else set()
    for key in sorted(wanted - set(garment.measures)):
        yield Fault("given", "measures", f"no {key}, by which other rules judge")


def levels(garment: Garment) -> Iterator[Fault]:
    """Levels at which girths are read: a bodice's, a skirt's hip, its knee where it hangs lower, a sleeve's biceps."""
    told = {name for piece in garment.main for name in piece.levels}
    wanted = list(LEVELS_OF_A_BODICE) if any(is_above(piece) for piece in garment.main) else []
    wanted += ["biceps"] if any("cap" in piece.kinds for piece in garment.main) else []
    skirts = [piece for piece in garment.main if piece.part.startswith("skirt")]
    wanted += ["hip"] if skirts else []
    knee_mm = garment.measures["waist_knee"]
    wanted += ["knee"] if any(float(piece.shape.bounds[3]) > knee_mm + 1.0 for piece in skirts if "hem" in piece.kinds) else []
    for name in wanted:
        if name not in told:
            yield Fault("given", "levels", f"no piece tells its {name} level")


def _is_notched(piece: Piece, edge: Edge) -> bool:
    return any(notch["edge"] == edge.name for notch in piece.notches)


def notches(garment: Garment) -> Iterator[Fault]:
    """DRAFT 3.4 and 3.11: both princess edges are snipped at the bust point, armhole and cap where the sleeve is set in."""
    sleeved = any("cap" in piece.kinds for piece in garment.main)
    for piece in garment.main:
        bust = piece.levels.get("bust")
        for edge in piece.edges:
            if edge.kind == "princess" and isinstance(bust, int | float):
                low, high = sorted((edge.line[0, 1], edge.line[-1, 1]))
                at = [notch["at"] for notch in piece.notches if notch["edge"] == edge.name]
                if low < bust < high and min((abs(y - bust) for _, y in at), default=1e9) > BUST_NOTCH_MM:
                    yield Fault("given", f"{piece.name}/{edge.name}", "no notch at the bust point")
            if sleeved and edge.kind == "cap" and not _is_notched(piece, edge):
                yield Fault("given", f"{piece.name}/{edge.name}", "no notch on the cap")
    holes = [(piece, edge) for piece in garment.main for edge in piece.edges if edge.kind == "armhole"]
    for side in ("front", "back"):
        if sleeved and not any(_is_notched(piece, edge) for piece, edge in holes if piece.part.startswith(side)):
            yield Fault("given", f"{side} armhole", "no notch on it for the sleeve")
