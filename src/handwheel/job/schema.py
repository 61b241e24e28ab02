"""The job file for editors: a JSON Schema that completes keys, words and shop names and underlines what is wrong."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final

from handwheel.job.operations import OPERATIONS
from handwheel.job.tables import JobFile
from handwheel.shop import load_shop

FILE: Final = "job.schema.json"
"""What the schema is called beside this module."""


def json_schema() -> dict[str, Any]:
    """The schema (JSON Schema, draft 2020-12) of job file format 1, with the names that our own shop holds."""
    schema = JobFile.model_json_schema(by_alias=True)
    tables = schema["$defs"]
    shop = load_shop()
    named: dict[str, tuple[Mapping[str, Any], list[str]]] = {
        "KneeMill": (shop.knee_mill, []),
        "CncMill": (shop.cnc_mill, []),
        "Vise": (shop.vise, []),
        "ToolEntry": (shop.cutter, ["number"]),
    }
    for name, (entries, required) in named.items():
        tables[name]["properties"] = {"like": _one_of(entries), **tables[name]["properties"]}
        tables[name]["required"] = required
    for name in ("Slides", "Slide"):
        tables[name]["required"] = []
    tables["Machine"]["required"] = []
    tables["SetupPlan"]["required"] = ["name"]
    rod = tables["SetupPlan"]["properties"]["rod"]
    rod["anyOf"] = [{"type": "boolean"}, *rod["anyOf"]]
    tables["Dimension"]["required"].remove("gauge")
    sizes = tables["Dimension"]["properties"]
    sizes["at"] = {"anyOf": [*sizes["at"]["anyOf"], *sizes.pop("between")["anyOf"]]}
    tables["Cut"] = {
        "anyOf": [
            {"enum": ["conventional", "climb"]},
            {key: tables["Cut"][key] for key in _SHAPE if key in tables["Cut"]},
        ],
        "description": "conventional or climb, for both ways or for each",
    }
    tables["WorkStop"] = {
        "anyOf": [
            {"enum": ["left", "right", "none"]},
            {key: tables["WorkStop"][key] for key in _SHAPE if key in tables["WorkStop"]},
        ],
        "description": tables["WorkStop"]["description"],
    }
    tables["Along"] = {
        "anyOf": [
            {"enum": ["centre", "left", "right"]},
            {key: tables["Along"][key] for key in _SHAPE if key in tables["Along"]},
        ],
        "description": tables["Along"]["description"],
    }
    tables["Entry"] = {
        "anyOf": [
            {"enum": ["plunge", "ramp", "hole"]},
            {key: tables["Entry"][key] for key in _SHAPE if key in tables["Entry"]},
        ],
        "description": tables["Entry"]["description"],
    }
    for name in (model.__name__ for model in OPERATIONS.values()):
        tables[name]["required"].append("do")
        for worked_out in ("points", "form"):
            tables[name]["properties"].pop(worked_out, None)
    schema["properties"]["material"] = {**_one_of(shop.material), "title": "Material"}
    schema["required"] = [key for key in schema["required"] if key not in ("machine", "vise")]
    for table in tables.values():
        table["description"] = " ".join(table.get("description", "").replace("``", "").split())
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": "handwheel job file, format 1",
    }


def schema_text() -> str:
    """The schema as the package ships it."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"


_SHAPE: Final = ("type", "properties", "additionalProperties")


def _one_of(entries: Mapping[str, Any]) -> dict[str, Any]:
    """A name of our shop's, offered; another is not wrong, since the user may have a shop file."""
    return {"anyOf": [{"enum": sorted(entries)}, {"type": "string"}]}
