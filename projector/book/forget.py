"""Forgetting: what is removed with a client or an order, and what still names her afterwards."""

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from calibration.errors import WrongInput
from calibration.keep import forget_kept, read_kept, versions
from calibration.yaml_reader import read_yaml
from projector.book.beside import forget_beside, forget_picture
from projector.book.book import Entry, entries, named
from projector.book.orders import composed
from projector.book.places import by_hand_file

TEXTS = {".yaml", ".json", ".jsonl", ".new"}


def forget(book: Path, name: str) -> list[Path]:
    """Remove an entry with all its versions; for a client also the orders made for her, older versions of orders that were hers,
    the lay in her hand, and what is kept beside an order. A damaged order is hers when its newest whole version is.

    Returns what was removed.
    """
    gone = named(book, name)
    orders = [each for each in entries(book, "orders") if each == gone or (gone.kind == "clients" and _is_for(each.file, gone.name))]
    files = dict.fromkeys([gone.file, *(each.file for each in orders)])
    removed = [one for file in files for one in forget_kept(file)]
    if gone.kind == "clients":
        removed += [*forget_picture(book, gone.name), *_forget_older(book, gone.name)]
    removed += [one for order in orders for one in forget_beside(book, order.name)]
    return removed + _forget_in_hand(book, gone, [each.name for each in orders])


def _is_for(order: Path, client: str) -> bool:
    """Whether an order is hers, by itself or by its newest version that can be read."""
    for file in (order, *versions(order)):
        try:
            return _names(read_yaml(file).data, client)
        except WrongInput:
            continue
    return False


def _names(data: Any, client: str) -> bool:
    inside = data.get("client") if isinstance(data, Mapping) else None
    inside = inside.get("name") if isinstance(inside, Mapping) else inside
    return isinstance(inside, str) and composed(inside) == client


def _forget_older(book: Path, client: str) -> list[Path]:
    """Versions of others' orders that were hers once."""
    removed = []
    for each in entries(book, "orders"):
        for version in versions(each.file):
            try:
                is_hers = _names(read_yaml(version).data, client)
            except WrongInput:
                is_hers = False
            if is_hers:
                version.unlink()
                removed.append(version)
    return removed


def _forget_in_hand(book: Path, gone: Entry, orders: list[str]) -> list[Path]:
    """The lay that is being pushed by hand, where it is for her or for one of these orders."""
    file = by_hand_file(book)
    if not file.exists():
        return []
    try:
        order = json.loads(read_kept(file).data.split(b"\n")[0])["order"]
    except (ValueError, KeyError, TypeError, WrongInput):
        return []
    is_hers = _names(order, gone.name) or (isinstance(order, Mapping) and order.get("name") in orders)
    return forget_kept(file) if is_hers else []


def still_named(book: Path, name: str) -> list[str]:
    """Files of the book in which the name still stands: groups, notes, damaged orders. Their places in the book."""
    whole = re.compile(rf"(?<!\w){re.escape(composed(name))}(?!\w)")
    found = []
    for file in sorted(book.rglob("*")):
        if file.suffix in TEXTS and file.is_file() and whole.search(composed(read_kept(file).data.decode("utf-8", "replace"))):
            found.append(file.relative_to(book).as_posix())
    return found
