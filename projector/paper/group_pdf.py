"""A group on paper: who is measured, cut and fitted, what it costs; and a numbered tag for every part that is cut."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from projector.paper.page import ACCENT, INK, SHEET_MM, SOFT, Paper

MARGIN_MM = 14.0
ROW_MM = 6.0
TAG_COLUMNS, TAG_ROWS = 3, 8
COLUMNS_MM = (0.0, 12.0, 62.0, 84.0, 108.0, 132.0)
HEADS = ("no.", "who", "measured", "cut", "fitted", "cloth")

Tag = tuple[int, str, str, str, str]
"""Number, client, piece, which of how many, cloth."""


@dataclass(frozen=True, slots=True)
class PersonRow:
    """One of the group: words for each of HEADS, and what has to be measured again."""

    cells: tuple[str, str, str, str, str, str]
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GroupSheet:
    """Everything the group's page shows; `cloth`: a sentence for each cloth, or why there is none; `motifs`: one for each placed print."""

    name: str
    made: str
    people: Sequence[PersonRow]
    cloth: Sequence[str]
    motifs: Sequence[str] = ()


def group_pdf(told: GroupSheet, sheet: str = "a4") -> bytes:
    """The group's page."""
    paper = Paper(SHEET_MM[sheet], f"Group {told.name}")
    paper.page()
    wide = paper.size_mm[0] - 2 * MARGIN_MM
    paper.text(told.name, MARGIN_MM, 20.0, 5.0, bold=True)
    paper.text(told.made, MARGIN_MM + wide, 20.0, 1.9, align="right", colour=SOFT)
    y = 32.0
    for place, head in enumerate(HEADS):
        paper.text(head, MARGIN_MM + COLUMNS_MM[place], y, 1.9, colour=SOFT)
    for row in told.people:
        y += ROW_MM
        for place, cell in enumerate(row.cells):
            paper.text(cell, MARGIN_MM + COLUMNS_MM[place], y, 2.1, bold=place == 0, colour=INK)
        for doubt in row.doubts:
            y = paper.wrapped(doubt, MARGIN_MM + COLUMNS_MM[1], y + 4.2, wide - COLUMNS_MM[1], 1.8, colour=ACCENT) - 1.0
    y += ROW_MM + 4.0
    paper.text("Cloth for all", MARGIN_MM, y + 4.0, 3.0, bold=True, colour=ACCENT)
    y += 10.0
    for words in (*told.cloth, *told.motifs):
        y = paper.wrapped(words, MARGIN_MM, y, wide, 2.1)
    return paper.finish()


def tags_pdf(tags: Iterable[Tag], title: str, sheet: str = "a4") -> bytes:
    """Tags to cut apart and pin on: a large number, who, which piece, which of how many, from which cloth."""
    paper = Paper(SHEET_MM[sheet], f"Tags for {title}")
    wide = (paper.size_mm[0] - 2 * MARGIN_MM) / TAG_COLUMNS
    tall = (paper.size_mm[1] - 2 * MARGIN_MM) / TAG_ROWS
    for place, (number, client, piece, copy, cloth) in enumerate(tags):
        on_page = place % (TAG_COLUMNS * TAG_ROWS)
        if on_page == 0:
            paper.page()
        x, y = MARGIN_MM + on_page % TAG_COLUMNS * wide, MARGIN_MM + on_page // TAG_COLUMNS * tall
        edges = [[(x + wide, y), (x + wide, y + tall)], [(x, y + tall), (x + wide, y + tall)]]  # neighbours share the others
        edges += [[(x, y), (x + wide, y)]] if on_page < TAG_COLUMNS else []
        edges += [[(x, y), (x, y + tall)]] if on_page % TAG_COLUMNS == 0 else []
        for edge in edges:
            paper.line(edge, 0.15, colour=SOFT, dash_mm=(2.0, 2.0))
        paper.text(str(number), x + 4.0, y + 16.0, 11.0, bold=True)
        room = wide - 8.0
        paper.fitted(piece, x + 4.0, y + 22.5, room, 2.6, bold=True)
        paper.fitted(client, x + 4.0, y + 27.0, room, 2.1)
        paper.text(" – ".join(word for word in (copy, cloth) if word), x + 4.0, y + 31.0, 1.8, colour=SOFT)
    return paper.finish()
