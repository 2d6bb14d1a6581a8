"""JSON as it arrives at the API: read strictly, and no more of it than is allowed."""

from __future__ import annotations

import json
from typing import Any

from rest_framework.exceptions import APIException, ParseError
from rest_framework.parsers import BaseParser, JSONParser

MOST_BYTES, MOST_WITH_FILE = 5 * 2**20, 15 * 2**20
PARTS = "Send it in parts, or bring a file to the loads."


class TooLarge(APIException):
    status_code = 413
    default_code = "too_large"
    default_detail = f"This is more than 5 MB. {PARTS}"


class StrictJSON(JSONParser):
    """JSON as the standard has it: no NaN, no name twice, no half characters, 5 MB at most."""

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:
        return _read_strictly(stream, MOST_BYTES)


class LargeJSON(BaseParser):
    """The same where a file of up to 10 MB comes with it, in base64: read as it streams in.

    No JSONParser, for of those the framework takes the whole body into memory before any limit
    but the settings' own.
    """

    media_type = "application/json"

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:
        return _read_strictly(stream, MOST_WITH_FILE)


def _read_strictly(stream: Any, most: int) -> Any:
    raw = stream.read(most + 1)
    if len(raw) > most:
        raise TooLarge(f"This is more than {most >> 20} MB. {PARTS}")
    try:
        data = json.loads(
            raw.decode("utf-8"), parse_constant=_no_constant, object_pairs_hook=_no_name_twice
        )
        json.dumps(data, ensure_ascii=False).encode("utf-8")
    except RecursionError as error:
        raise ParseError("This JSON is nested too deep to be read.", "malformed") from error
    except ValueError as error:
        raise ParseError(f"This is not JSON that can be read: {error}", "malformed") from error
    return data


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is not a number")


def _no_name_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"the name {twice!a} stands twice in one object")
    return found
