"""One file per command. Each module defines one function with typer's annotations and imports its stages inside it.

Adding a command: a file here and a row in COMMANDS.
"""

from importlib import import_module

import typer

COMMANDS: tuple[tuple[str, str], ...] = (
    ("book", "book"),
    ("blocks", "blocks"),
    ("group", "group"),
    ("show", "show"),
    ("paper", "paper"),
    ("pieces", "pieces"),
    ("lay", "lay"),
    ("steps", "steps"),
    ("measures", "measures"),
)
"""(name on the command line, module in this folder); the function has the module's name."""


def add_commands(app: typer.Typer) -> None:
    """Register every row of COMMANDS; the modules themselves import nothing heavy."""
    for name, module in COMMANDS:
        app.command(name)(getattr(import_module(f"projector.commands.{module}"), module))
