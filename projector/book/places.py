"""Where the samples and the book are: one function each."""

import hashlib
import os
import re
from pathlib import Path

import platformdirs

from calibration.errors import WrongInput

BOOK_VARIABLE = "PROJECTOR_BOOK"


def configs_folder() -> Path:
    """The samples: `configs/` of a checkout or editable install, `projector/_configs` of a wheel."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package.parent / "configs", package / "_configs"):
        if (folder / "orders").is_dir():
            return folder
    raise WrongInput("The sample files are not installed.", f"Neither configs nor _configs lies beside {package.name}.", "Install again.")


def book_folder(given: Path | None = None) -> Path:
    """The book: as given, else PROJECTOR_BOOK, else the platform's data folder. It need not exist yet. Raises WrongInput for a file."""
    named = given or os.environ.get(BOOK_VARIABLE)
    folder = Path(named) if named else Path(platformdirs.user_data_dir("cutting-table-projector", appauthor=False)) / "book"
    if folder.is_file():
        raise WrongInput(f"{folder} is no book.", "It is a file; a book is a folder.", "Name the folder that holds `clients` and `orders`.")
    return folder


def table_file(book: Path | None) -> Path:
    """The table that was calibrated from the page."""
    return book_folder(book) / "tables" / "table.yaml"


def journal_file(order: str, book: Path | None) -> Path:
    """Where this order's journal is kept: in the book; an order given as a file has its own name there by its path."""
    name = re.sub(r"[^\w.-]+", "_", Path(order).stem) or "order"
    if Path(order).is_file():
        name += "-" + hashlib.sha256(str(Path(order).resolve()).encode()).hexdigest()[:8]
    return book_folder(book) / "journal" / f"{name}.jsonl"


def by_hand_file(book: Path | None) -> Path:
    """Where the lay in her hand is kept, command by command, until it is on the table."""
    return book_folder(book) / "journal" / "in-hand" / "lay.jsonl"
