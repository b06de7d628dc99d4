"""The ticket hangs beside the table: two pages at the most, nothing off the paper, all of it told."""

from dataclasses import replace
from functools import lru_cache
from math import ceil

import pypdfium2 as pdfium
import pytest

from calibration.units import cloth_text
from projector.book.cards import MotifCard
from projector.book.orders import load_order
from projector.lay.cloth import Budget
from projector.making import Made, make
from projector.paper.card_pdf import card_pdf
from projector.paper.card_words import CardHead
from projector.paper.page import SHEET_MM
from projector.paper.ticket import Ticket, ticket_pdf
from projector.paper.true_size import tiled_pdf, whole_pdf
from projector.paper_jobs import style_words, ticket_of
from tests.projector.paper.reading import pages
from tests.projector.paper.sample import drafted


@lru_cache
def made(order: str) -> Made:
    return make(load_order(order), budget=Budget(1, 1))


ORDERS = ("wren_gown", "noor_long", "tomasina_plain", "ilse_office")
READABLE_MM = 1.3  # capitals, as small as the figures on a tape


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("order", ORDERS)
def test_every_word_is_on_the_paper_and_large_enough_and_the_folding_is_drawn(order: str, paper: str) -> None:
    document = pdfium.PdfDocument(ticket_pdf(ticket_of(made(order), "2026-01-01"), paper))
    words = ""
    for page in document:
        text = page.get_textpage()
        words += text.get_text_range()
        boxes = [text.get_charbox(place) for place in range(text.count_chars())]
        capitals = [box for place, box in enumerate(boxes) if text.get_text_range(place, 1).isupper()]
        assert min(box[3] - box[1] for box in capitals) * 25.4 / 72 > READABLE_MM
        assert min(box[0] for box in boxes) * 25.4 / 72 > 5.0
        assert max(box[2] for box in boxes) * 25.4 / 72 < SHEET_MM[paper][0] - 5.0
    assert "seen from" in words


@pytest.mark.parametrize(("order", "paper"), [("wren_gown", "letter"), ("wren_gown", "a4"), ("noor_long", "a4"), ("noor_long", "letter")])
def test_two_pages_with_nothing_off_the_paper(order: str, paper: str) -> None:
    found = pages(ticket_pdf(ticket_of(made(order), "2026-01-01"), paper))
    assert len(found) <= 2
    for page in found:
        assert page.points.min() > 5.0
        assert page.points[:, 0].max() < SHEET_MM[paper][0] - 5.0
        assert page.points[:, 1].max() < SHEET_MM[paper][1] - 5.0


def test_it_tells_measures_cloth_tags_layers_steps_and_what_to_ask_again() -> None:
    whole = made("noor_long")
    words = "\n".join(page.words for page in pages(ticket_pdf(ticket_of(whole, "2026-01-01"))))
    assert "Noor Lindqvist" in words
    assert "112.0 cm" in words  # her waist as measured
    assert "shoulder to nipple °" in words  # worked out, marked
    assert "round both arms" not in words  # worked out too, but this dress is not drafted by it
    assert f"{whole.lay.cloth_needed_mm / 1000:.2f} m" in words
    assert "The waist is larger than the hip" in words
    for number, piece in enumerate(whole.garment.pieces, start=1):
        assert f"{number}\n{piece.name}" in words.replace("\r", "") or f"{number} {piece.name}" in words, piece.name
        assert f"{piece.name}" in words
    assert words.count("2 layers") >= len(whole.garment.pieces) - 2
    assert "Notes" in words
    assert "Selvedge to selvedge, right side in." in words
    assert "seen from the cut end" in words, "the folding is drawn too"
    assert "main, lining, interfacing: folded along, selvedge to selvedge" in words, "once for all that are folded alike"
    assert "2026-01-01, sample" in words, "an invented client is marked so"


def test_a_cloth_costs_what_is_bought_of_it_and_one_the_order_does_not_name_nothing() -> None:
    """Bought before it shrinks by a tenth, by the centimetre: 10 € a metre are ten cents each."""
    order = load_order("tomasina_plain")
    only_main = replace(order, cloths={"main": replace(order.cloths["main"], price=10.0, currency="€", shrinks_along=0.1)})
    whole = make(only_main, budget=Budget(1, 1))
    told = ticket_of(whole, "2026-01-01")
    assert told.costs["main"] == f"about {ceil(whole.lay.cloth_needed_mm / 0.9 / 10) / 10:.2f} €"
    assert told.costs["interfacing"] == ""
    assert "interfacing" in "\n".join(page.words for page in pages(ticket_pdf(told)))


def test_it_tells_where_the_print_sits_and_all_the_cloth_that_the_binding_takes() -> None:
    """Before, the length to buy left out the strips beyond the lay."""
    order = load_order("tomasina_plain")
    card = replace(order.card, binding="12 m, 50 mm", motif=MotifCard("front centre", "bust", "-1 1/2 in"))
    whole = make(
        replace(order, card=card, cloths={**order.cloths, "main": replace(order.cloths["main"], lengths_mm=())}), budget=Budget(1, 1)
    )
    strips = whole.lay.binding
    assert strips is not None
    assert strips.extra_mm > 0.0, "so many strips do not lie between the pieces"
    words = " ".join(pages(ticket_pdf(ticket_of(whole, "2026-01-01")))[0].words.split())
    assert cloth_text(whole.lay.cloth_needed_mm + strips.extra_mm) in words
    assert f"{cloth_text(strips.extra_mm)} of it for bias strips" in words
    assert f"Bias strips: {cloth_text(strips.extra_mm)} more, laid open." in words
    assert "print on front centre at the bust, 1 1/2 in higher; bias binding 12 m, 50 mm" in words


LONG_NAME = "Ægidía Þórunn Vančová-Żółkiewska d'Éstrées de la Fontaine-Müller"


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_long_name_with_many_accents_stays_whole_and_on_the_paper(paper: str) -> None:
    garment = drafted("no bodice")
    ticket = Ticket(LONG_NAME, "sample", "in", "2026-01-01", "", (), garment)
    for pdf in (ticket_pdf(ticket, paper), card_pdf(garment, CardHead(LONG_NAME, "sample", "in"), paper)):
        document = pdfium.PdfDocument(pdf)
        words = document[0].get_textpage()
        place, count = words.search(LONG_NAME).get_next()
        right_mm = max(words.get_charbox(each)[2] for each in range(place, place + count)) * 25.4 / 72
        assert right_mm < SHEET_MM[paper][0] - 5.0


def rights(pdf: bytes, words: str) -> list[float]:
    """Where these words end on every page that holds them, mm from the page's right edge."""
    found = []
    for page in pdfium.PdfDocument(pdf):
        text = page.get_textpage()
        search = text.search(words)
        while (hit := search.get_next()) is not None:
            found.append((page.get_width() - max(text.get_charbox(each)[2] for each in range(hit[0], sum(hit)))) * 25.4 / 72)
    return found


def test_no_page_of_the_true_size_pieces_loses_words_of_a_long_name() -> None:
    """On the piece's own page all of it; on tiles the headings and the foot, whose last words these are."""
    garment = drafted("waist over hip, princess, long sleeves")
    whole, tiled = rights(whole_pdf(garment, "in", LONG_NAME), LONG_NAME), tiled_pdf(garment, "in", LONG_NAME)
    assert len(whole) >= len(garment.pieces)
    assert min(whole) > 0.0
    for words in ("how the pages lie", ", page "):
        ends = rights(tiled, words)
        assert len(ends) > len(garment.pieces) / 2
        assert min(ends) > 5.0, words


def test_the_style_is_told_in_her_words_and_unit() -> None:
    order = replace(
        load_order("tomasina_plain"), style_given={"bodice": False, "lining": True, "neck_drop_mm": 63.5, "skirt": "a_line", "length": 508}
    )
    assert style_words(order) == "no bodice, lining, neck drop 2 1/2 in, skirt a line, length 20 in"
