"""Reading what a page sends and telling it what happened, one way for every route."""

import json
from collections.abc import Awaitable, Callable
from math import isfinite
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from calibration.errors import TableError, WrongInput
from calibration.keep import system_words

Handler = Callable[[Request], Awaitable[Response]]


def told(answer: dict[str, Any]) -> JSONResponse:
    """One JSON object with its format."""
    return JSONResponse({"format": 1, **answer})


def refusal(error: TableError) -> JSONResponse:
    """The three sentences; 400 for wrong input, 409 for a refusal."""
    return JSONResponse({"format": 1, "error": error.as_json()}, status_code=400 if isinstance(error, WrongInput) else 409)


def telling(handler: Handler) -> Handler:
    """A route whose TableErrors are told to the page."""

    async def route(request: Request) -> Response:
        try:
            return await handler(request)
        except TableError as error:
            return refusal(error)
        except OSError as cause:
            if (words := system_words(cause)) is None:
                raise
            return refusal(words)

    return route


async def sent(request: Request) -> dict[str, Any]:
    """The JSON object in the body. Raises WrongInput."""
    try:
        data = json.loads(await request.body(), parse_constant=_no_number, parse_float=_finite)
        json.dumps(data, ensure_ascii=False).encode()  # half a surrogate pair is no text: it could be neither kept nor told
    except (ValueError, RecursionError) as cause:
        raise WrongInput("That cannot be read.", "The page sent no JSON.", "Load the page again.") from cause
    if not isinstance(data, dict):
        raise WrongInput("That cannot be read.", "An object is wanted.", "Load the page again.")
    return data


def _no_number(word: str) -> Any:
    """NaN and Infinity, which Python's reader takes and JSON has not."""
    raise ValueError(f"{word} is no number")


def _finite(text: str) -> float:
    """1e999 is no number either."""
    number = float(text)
    return number if isfinite(number) else _no_number(text)


def part(data: dict[str, Any], key: str, kind: type) -> Any:
    """One entry of what was sent, of the kind wanted. Raises WrongInput."""
    value = data.get(key)
    if not isinstance(value, kind):
        raise WrongInput(f"{key} is missing.", f"The page sent {type(value).__name__}.", "Load the page again.")
    return value
