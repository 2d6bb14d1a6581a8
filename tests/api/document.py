"""The API's own description, made once in a process: it takes a second, and several files ask it while collected."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.renderers import OpenApiJsonRenderer


@cache
def api_document() -> dict[str, Any]:
    """The schema as programs read it; whoever changes anything in it takes a copy."""
    said = SchemaGenerator().get_schema(request=None, public=True)
    document: dict[str, Any] = json.loads(OpenApiJsonRenderer().render(said))
    return document
