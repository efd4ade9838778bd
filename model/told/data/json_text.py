"""A document of data as JSON."""

import json
from typing import Any


def json_text(document: dict[str, Any]) -> str:
    """Write a document as ASCII JSON, one key a line."""
    return json.dumps(document, indent=2, ensure_ascii=True, allow_nan=False) + "\n"
