"""The digest of what was signed, by which a later change is noticed."""

from __future__ import annotations

import hashlib
import json
from typing import Any

Content = dict[str, Any]


def digest_of(content: Content) -> str:
    """SHA-256 over the canonical JSON of what was signed."""
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()
