"""table.yaml: written whole or not at all, numbers at full precision, rows in one line; read back with checks."""

from dataclasses import asdict
from pathlib import Path
from typing import Any

import yaml

from calibration.errors import WrongInput
from calibration.keep import keep, load_kept
from calibration.records import record_from
from calibration.table import Table
from calibration.yaml_reader import document_from

FORMAT = 1
WORKED_OUT = {"format", "state", "mirrored"}  # told for the reader, worked out again when read
HEAD = """\
# A calibrated table. Millimetres of the table, pixels of the picture; table frame and pixel frame as in calibration/table.py.
# ideal pixel: w (u, v, 1) = H (x, y, 1); actual pixel: p = c + (u - c)(1 + k1 r^2 + k2 r^4), r = |u - c| / (width / 2)
"""


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float):
        return float(value)  # the reader's own number types know their text; a table keeps none of it
    if isinstance(value, int) and not isinstance(value, bool):
        return int(value)
    return value


def table_text(table: Table) -> str:
    """The YAML text of a table."""
    return HEAD + yaml.safe_dump(
        {"format": FORMAT, "state": table.state, "mirrored": table.mirrored, **_plain(asdict(table))},
        sort_keys=False, default_flow_style=None, width=100_000, allow_unicode=True,
    )  # fmt: skip


def table_from_text(text: str | bytes, source: str) -> Table:
    """A table from YAML text; `source` names it in messages. Raises WrongInput with line and column."""
    document = document_from(text, source)
    told = _plain(document.data)
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise WrongInput(
            f"{source} is not a table of this format.",
            f"Its first line has to be `format: {FORMAT}`.",
            "Name the table.yaml that solve wrote.",
        )
    fields = {key: value for key, value in told.items() if key not in WORKED_OUT}
    return record_from(Table, fields, "table", document)


def read_table(path: Path) -> Table:
    """Read table.yaml. Raises WrongInput (Damaged when an older version can be read)."""
    return load_kept(path, lambda data: table_from_text(data, path.name))


def write_table(table: Table, path: Path) -> None:
    """Write table.yaml whole or not at all; the last versions stay."""
    keep(path, table_text(table))
