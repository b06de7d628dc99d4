"""Steps in another language: told while they are this order's, nothing once her card was changed under them."""

from pathlib import Path

from projector.book import book as kept
from projector.book.orders import load_order
from projector.book.places import configs_folder
from projector.desk.hand_tasks import said
from projector.lay.cloth import Budget
from projector.making import make

FITTING = "fittings:\n- {day: 2026-11-30, kind: figure, changes: {side_waist: +10 mm}}\n"


def test_a_card_changed_since_leaves_the_steps_untold(tmp_path: Path) -> None:
    kept.add(tmp_path, configs_folder() / "clients" / "tomasina.yaml")
    text = (configs_folder() / "orders" / "tomasina_plain.yaml").read_text().replace("client: tomasina", "client: Tomasina Reyes")
    (tmp_path / "hers.yaml").write_text(text)
    kept.add(tmp_path, tmp_path / "hers.yaml")
    made = make(load_order("hers", tmp_path), budget=Budget(1, 1))
    assert len(said("hers", tmp_path, made.lay, {}, "fr", made.steps)) == len(made.steps)
    card = tmp_path / "clients" / "Tomasina Reyes.yaml"
    card.write_text(card.read_text() + FITTING)
    assert said("hers", tmp_path, made.lay, {}, "fr", made.steps) == []
