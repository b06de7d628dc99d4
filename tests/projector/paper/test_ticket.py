"""The ticket hangs beside the table: two pages at the most, nothing off the paper, all of it told."""

from dataclasses import replace
from functools import lru_cache

import pytest

from projector.book.orders import load_order
from projector.lay.cloth import Budget
from projector.making import Made, make
from projector.paper.page import SHEET_MM
from projector.paper.ticket import ticket_pdf
from projector.paper_jobs import ticket_of
from tests.projector.paper.reading import pages


@lru_cache
def made(order: str) -> Made:
    return make(load_order(order), budget=Budget(1, 1))


@pytest.mark.parametrize(("order", "paper"), [("wren_gown", "letter"), ("wren_gown", "a4"), ("noor_long", "a4")])
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
    assert f"{whole.lay.cloth_needed_mm / 1000:.2f} m" in words
    assert "The waist is larger than the hip" in words
    for number, piece in enumerate(whole.garment.pieces, start=1):
        assert f"{number}\n{piece.name}" in words.replace("\r", "") or f"{number} {piece.name}" in words, piece.name
        assert f"{piece.name}" in words
    assert words.count("2 layers") >= len(whole.garment.pieces) - 2
    assert "Notes" in words


def test_a_cloth_the_order_does_not_name_is_told_without_a_price() -> None:
    order = load_order("tomasina_plain")
    only_main = replace(order, cloths={"main": replace(order.cloths["main"], price=10.0, currency="€")})
    whole = make(only_main, budget=Budget(1, 1))
    told = ticket_of(whole, "2026-01-01")
    assert told.costs["main"] == f"about {whole.lay.cloth_needed_mm / 100:.2f} €"
    assert told.costs["interfacing"] == ""
    assert "interfacing" in "\n".join(page.words for page in pages(ticket_pdf(told)))
