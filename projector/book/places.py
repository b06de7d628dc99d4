"""Where the samples and the book are: one function each."""

import os
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
    """The book: as given, else PROJECTOR_BOOK, else the platform's data folder. It need not exist yet."""
    if given is not None:
        return given
    named = os.environ.get(BOOK_VARIABLE)
    return Path(named) if named else Path(platformdirs.user_data_dir("cutting-table-projector", appauthor=False)) / "book"
