"""All commands under one name, and what happens when none is named."""

from typing import Annotated

import typer

from calibration.command_line import command_app, run_app
from projector.commands import add_commands

app = command_app("Drafts a client's dress from her measures and throws every piece at true size onto the folded cloth.")
add_commands(app)


@app.callback(invoke_without_command=True)
def whole(
    context: typer.Context,
    serve: Annotated[bool, typer.Option("--serve", help="without a display: keep the page after the files are written")] = False,
) -> None:
    """The main job on the sample order when no command is named."""
    if context.invoked_subcommand is None:
        from projector.commands.main_job import main_job

        main_job(serve)


def main() -> int:
    """Entry point: the exit code of one command line."""
    return run_app(app)
