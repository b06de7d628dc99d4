"""`python -m calibration`: sheet, frame, solve, map, proof, survey, check, watch; each has --help."""

import os
import sys
from importlib import import_module

from calibration.command_line import command_app, run_app

COMMANDS: tuple[tuple[str, str], ...] = (
    ("sheet", "sheet"),
    ("frame", "frame"),
    ("solve", "solve"),
    ("map", "map"),
    ("proof", "proof"),
    ("survey", "survey"),
    ("check", "check"),
    ("watch", "watch"),
)
"""(name on the command line, module in calibration.commands); the function has the module's name."""

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
"""Before numpy is imported: matrices of a hundred unknowns, for which a second thread only waits at full power (4.1 s of processor
time for a joint solve instead of 1.6 s, measured)."""

app = command_app("Photographs of printed sheets in, a true map from table millimetres to projector pixels out.")
for _name, _module in COMMANDS:
    app.command(_name)(getattr(import_module(f"calibration.commands.{_module}"), _module))


@app.callback()
def whole() -> None:
    """Keeps one command a command while only one is registered."""


def main() -> int:
    """Entry point: the exit code of one command line."""
    return run_app(app)


if __name__ == "__main__":
    sys.exit(main())
