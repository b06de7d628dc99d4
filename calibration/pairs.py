"""Pairs of numbers as lines of text: "x,y", no header, one line out for each line in."""

import numpy as np

from calibration.arrays import Array
from calibration.errors import WrongInput


def pairs_from_text(text: str) -> Array:
    """(N, 2) numbers from N lines; blanks round a number are allowed, an empty last line is not counted. Raises WrongInput."""
    lines = text.split("\n")
    if lines and not lines[-1].strip():
        lines.pop()
    pairs = np.empty((len(lines), 2))
    for index, line in enumerate(lines):
        parts = line.strip().split(",")
        try:
            if len(parts) != 2:
                raise ValueError
            pairs[index] = float(parts[0]), float(parts[1])
        except ValueError as error:
            raise WrongInput(
                f"Line {index + 1} is not a pair.", f"It reads {line.strip()[:40]!r}.", "Write two numbers with a comma: 10.5,20"
            ) from error
    return pairs


def text_from_pairs(pairs: Array, third: Array | None = None) -> str:
    """N lines with six decimals (1 nm, 1 µpx: more than a map holds); nan where there is nothing to say."""
    lost: list[bool] = [not all(row) for row in np.isfinite(pairs).tolist()]
    columns = pairs if third is None else np.column_stack([pairs, third])
    lines = (
        ",".join(["nan"] * columns.shape[1]) if gone else ",".join(f"{number + 0.0:.6f}".replace("-0.000000", "0.000000") for number in row)
        for row, gone in zip(columns, lost, strict=True)
    )
    return "".join(f"{line}\n" for line in lines)
