"""Writes the labels: spots.pdf (true size, vector), spots-1.png, spots-2.png and spots.json."""

import json
from pathlib import Path
from typing import Any

from calibration.labels import LABELS_ON_PAGE, LabelPage, label_pages
from calibration.sheets import Paper, page_px


def spots_json(pages: list[LabelPage], dpi: float) -> dict[str, Any]:
    """Page size, mm a pixel, and where each spot's middle lies (mm from the page's lower-left corner)."""
    return {
        "format": 1,
        "page_mm": list(pages[0].size_mm),
        "png_mm_per_px": pages[0].size_mm[0] / page_px(pages[0].paper, dpi)[0],
        "pages": [
            {
                "page": page.number,
                "png": f"spots-{page.number}.png",
                "spots": [{"id": (page.number - 1) * LABELS_ON_PAGE + k + 1, "at": list(middle)} for k, middle in enumerate(page.middles)],
            }
            for page in pages
        ],
    }


def write_labels(out: Path, paper: Paper, dpi: float) -> None:
    """The labels into the folder `out`."""
    from calibration.sheet_drawing import pdf_of, write_picture

    pages = label_pages(paper)
    out.mkdir(parents=True, exist_ok=True)
    (out / "spots.pdf").write_bytes(pdf_of(pages, "Table spots"))
    for page in pages:
        write_picture(page, dpi, out / f"spots-{page.number}.png")
    (out / "spots.json").write_text(json.dumps(spots_json(pages, dpi)) + "\n", encoding="utf-8")
