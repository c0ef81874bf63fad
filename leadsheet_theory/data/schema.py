"""The JSON Schema of plain data."""

from __future__ import annotations

from ._codec import Json
from .plain import DATA_FORMAT, DATA_VERSION, schemas_of_types

__all__ = ("data_schema",)


def data_schema() -> dict[str, Json]:
    """The JSON Schema (2020-12) of what :func:`.to_data` gives.

    The package holds it as a file too, ``leadsheet_theory/data/schema.json``.

    >>> data_schema()["$schema"]
    'https://json-schema.org/draft/2020-12/schema'
    """
    defs: dict[str, Json] = {}
    one: dict[str, Json] = {"anyOf": schemas_of_types(defs)}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:leadsheet_theory:data:{DATA_VERSION}",
        "title": f"Plain data of {DATA_FORMAT}",
        "type": "object",
        "properties": {
            "format": {"const": DATA_FORMAT},
            "version": {"const": DATA_VERSION},
            "value": {"anyOf": [one, {"type": "array", "items": one}]},
        },
        "required": ["format", "version", "value"],
        "additionalProperties": False,
        "$defs": dict(sorted(defs.items())),
    }
