"""One way to start both programs: errors become three sentences, exit codes and, with --json, one object.

Nothing heavy is imported here, so that --help answers at once.
"""

import json
import sys
import traceback
from collections.abc import Callable, Sequence
from typing import Any

import typer
from typer.exceptions import Abort, Exit, TyperException

from calibration.errors import EXIT_DEFECT, EXIT_DONE, EXIT_WRONG_INPUT, TableError

Command = Callable[..., Any]


def command_app(summary: str) -> typer.Typer:
    """An empty program; commands are added with `app.command(name)(function)`."""
    return typer.Typer(help=summary, add_completion=False, no_args_is_help=False, pretty_exceptions_enable=False, rich_markup_mode=None)


def print_json(told: dict[str, Any]) -> None:
    """The one object of --json on stdout; `format` is put first."""
    print(json.dumps({"format": 1, **told}, ensure_ascii=False), flush=True)


def print_note(text: str) -> None:
    """Progress and messages go to stderr, so that stdout stays clean."""
    print(text, file=sys.stderr, flush=True)


def _tell(what: str, why: str, next_step: str, as_json: bool) -> None:
    if as_json:
        print_json({"error": {"what": what, "why": why, "next": next_step}})
    print_note("\n".join(line for line in (what, why, next_step) if line))


def _tell_system(cause: OSError, as_json: bool) -> int:
    """What the system refused; anything else of its kind is a defect of ours."""
    from calibration.keep import system_words

    told = system_words(cause)
    if told is None:
        return _tell_defect(cause, as_json)
    _tell(told.what, told.why, told.next_step, as_json)
    return told.exit_code


def _tell_defect(defect: Exception, as_json: bool) -> int:
    traceback.print_exception(defect)
    _tell(f"A defect of ours: {type(defect).__name__}.", str(defect), "Keep the input and report it.", as_json)
    return EXIT_DEFECT


def run_app(app: typer.Typer, arguments: Sequence[str] | None = None) -> int:
    """Run one command line. Returns the exit code: 0 done, 1 refused, 2 wrong input, 70 a defect of ours."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    as_json = "--json" in given
    try:
        result = typer.main.get_command(app).main(args=given, standalone_mode=False)
    except TableError as error:
        _tell(error.what, error.why, error.next_step, as_json)
        return error.exit_code
    except TyperException as error:
        told = error.format_message() if hasattr(error, "format_message") else str(error)
        _tell("The command line cannot be read.", told, "Add --help to see what it takes.", as_json)
        return EXIT_WRONG_INPUT
    except Exit as left:
        return left.exit_code
    except (KeyboardInterrupt, Abort):
        return EXIT_DONE
    except OSError as cause:
        return _tell_system(cause, as_json)
    except Exception as defect:
        return _tell_defect(defect, as_json)
    return result if isinstance(result, int) else EXIT_DONE
