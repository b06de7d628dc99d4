"""table.yaml: written whole or not at all, numbers at full precision, rows in one line; read back with checks."""

from dataclasses import asdict
from pathlib import Path

import yaml

from calibration.errors import WrongInput
from calibration.keep import keep, load_kept
from calibration.records import record_from
from calibration.table import Table
from calibration.yaml_reader import document_from, plain

FORMAT = 1
WORKED_OUT = {"format", "state", "mirrored"}  # told for the reader, worked out again when read
HEAD = """\
# A calibrated table. Millimetres of the table, pixels of the picture; table frame and pixel frame as in calibration/table.py.
# ideal pixel: w (u, v, 1) = H (x, y, 1); actual pixel: p = c + (u - c)(1 + k1 r^2 + k2 r^4), r = |u - c| / (width / 2)
"""


def table_text(table: Table) -> str:
    """The YAML text of a table: YAML 1.1 throughout, for other programs' readers too (1.0e-05, where our own writer says 1e-05)."""
    return HEAD + yaml.safe_dump(
        {"format": FORMAT, "state": table.state, "mirrored": table.mirrored, **plain(asdict(table))},
        sort_keys=False, default_flow_style=None, width=100_000, allow_unicode=True,
    )  # fmt: skip


def table_from_text(text: str | bytes, source: str) -> Table:
    """A table from YAML text; `source` names it in messages. Raises WrongInput with line and column."""
    document = document_from(text, source)
    told = plain(document.data)  # a table keeps nothing of how its numbers were typed
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
