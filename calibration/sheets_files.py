"""Writes what `calibration sheet` promises."""

import json
from pathlib import Path

from calibration.board import PAGES
from calibration.errors import WrongInput
from calibration.sheets import PAPERS, page_of, sheets_json

COARSEST_DPI, FINEST_DPI = 50.0, 1200.0


def write_sheets(out: Path, paper: str, pages: int, dpi: float, labels: bool = False) -> None:
    """sheets.pdf, sheet-1.png …, sheets.json into the folder `out`; with `labels` the table spots too. Raises WrongInput."""
    found = [known for known in PAPERS if known == paper.lower()]
    if not found:
        raise WrongInput(f"The paper {paper!r} is not known.", "Known are a4 and letter.", "Give --paper a4 or --paper letter.")
    if not 1 <= pages <= PAGES:
        raise WrongInput(
            f"{pages} pages cannot be made.", f"There are 1 to {PAGES} different pages.", "Four are best: one near each corner."
        )
    if not COARSEST_DPI <= dpi <= FINEST_DPI:
        raise WrongInput(f"{dpi:g} dots per inch cannot be made.", f"{COARSEST_DPI:g} to {FINEST_DPI:g} are.", "Leave --png-dpi at 300.")
    from calibration.label_files import write_labels
    from calibration.sheet_drawing import pdf_of, write_picture

    drawn = [page_of(found[0], number, pages) for number in range(1, pages + 1)]
    out.mkdir(parents=True, exist_ok=True)
    (out / "sheets.pdf").write_bytes(pdf_of(drawn))
    for page in drawn:
        write_picture(page, dpi, out / f"sheet-{page.number}.png")
    if labels:
        write_labels(out, found[0], dpi)
    (out / "sheets.json").write_text(json.dumps(sheets_json(drawn, dpi)) + "\n", encoding="utf-8")
