"""keys.yaml: what presenter, foot switch and keyboard ask for. The samples' file first, the book's own over it."""

import os
from pathlib import Path

from calibration.errors import WrongInput
from calibration.keep import read_kept
from calibration.yaml_reader import document_from, plain
from projector.book.places import book_folder, configs_folder
from projector.session.keys import checked_keys

NAME = "keys.yaml"


def read_keys(book: Path | None) -> dict[str, str]:
    """Key name to command. Raises WrongInput naming the key or command that is not known."""
    keys: dict[str, str] = {}
    for file in (configs_folder() / NAME, book_folder(book) / NAME):
        if os.path.lexists(file):  # a folder in its place is told, not passed over
            read = plain(document_from(read_kept(file).data, file.name).data)
            if not isinstance(read, dict):
                raise WrongInput(f"{file} is no list of keys.", "Lines `key: command` are wanted.", "Look at configs/keys.yaml.")
            keys |= checked_keys(read, file.name)
    return keys
