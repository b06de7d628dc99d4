"""python -m tests.virtual_table --scene good --seed 3 --sheets DIR --frame PNG --out DIR: photographs and truth.json."""

import argparse
from pathlib import Path

from tests.virtual_table import LANDSCAPE_3MP, LANDSCAPE_12MP, good, hostile, pages_of, photographs, picture_of, poor
from tests.virtual_table.files import write_truth
from tests.virtual_table.hostile import HOSTILE


def main() -> None:
    """Render one scene to files."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--scene", default="good", help=f"good, poor or one of: {', '.join(HOSTILE)}")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--sheets", type=Path, required=True, help="folder of sheets.json and its pictures")
    parser.add_argument("--frame", type=Path, required=True, nargs="+", help="the picture that the lamp throws")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--photographs", type=int, default=2)
    parser.add_argument("--small", action="store_true", help="3 megapixels instead of 12")
    given = parser.parse_args()
    pictures = [picture_of(path) for path in given.frame]
    size = (pictures[0].shape[1], pictures[0].shape[0])
    phone_px = LANDSCAPE_3MP if given.small else LANDSCAPE_12MP
    make = {"good": good, "poor": poor}.get(given.scene)
    pages = pages_of(given.sheets)
    scene = make(given.seed, pages, size, given.photographs, phone_px) if make else hostile(given.scene, given.seed, pages, size, phone_px)
    for path in photographs(scene, pictures, given.out):
        print(path)
    write_truth(scene, given.out / "truth.json")


if __name__ == "__main__":
    main()
