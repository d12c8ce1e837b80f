"""The JSON Schema of the site file, made from the records."""

from __future__ import annotations

import json
from typing import Any

from survey_app.site.record import unit_of
from survey_app.site.site import Site

__all__ = ["SCHEMA_FILE", "json_schema", "schema_text"]

SCHEMA_FILE = "site.schema.json"


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of the site file.

    Beside the usual words each field whose name states a unit has a `unit`.

    Examples
    --------
    >>> json_schema()["$defs"]["Mount"]["properties"]["height_m"]["unit"]
    'm'
    """
    schema = Site.model_json_schema()
    schema["required"] = ["format", "version", "design"]
    for definition in schema["$defs"].values():
        for name, field in definition.get("properties", {}).items():
            field.pop("title", None)
            unit = unit_of(name)
            if unit is not None:
                field["unit"] = unit
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def schema_text() -> str:
    """Return the text of `shared/site.schema.json`."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"
