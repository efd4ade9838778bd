"""Older job files, brought up to today's schema in memory, one step at a time."""

from collections.abc import Callable, Mapping
from typing import Any

from pelmet.model.job.job import SCHEMA

Step = Callable[[dict[str, Any]], dict[str, Any]]

# From schema n, the step that gives schema n + 1. Schema 1 is the first, so none is needed yet.
# A step comes with a frozen example of the old schema in the tests.
STEPS: Mapping[int, Step] = {}


def migrated(
    raw: dict[str, Any], steps: Mapping[int, Step] = STEPS, newest: int = SCHEMA
) -> dict[str, Any]:
    """Take the tables of an older file up to the newest schema.

    ``raw["schema"]`` is an int, not above ``newest``. Raises ``LookupError`` for a number that
    no program ever wrote.
    """
    for version in range(raw["schema"], newest):
        raw = {**steps[version](raw), "schema": version + 1}
    return raw
