"""JSON Schemas of the records, for editors that complete and check fields.

They are made from the models: names, descriptions, units, and what each field's own
check takes. A schema sees one record at a time; what ``check`` finds between fields
and records it cannot say.
"""

from __future__ import annotations

import inspect
import json
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from sitegen.load import SETTINGS_FILE
from sitegen.model import KINDS, Addresses, Archive, adapter
from sitegen.model.chronicle import TARGET_KINDS
from sitegen.model.scalars import ID_PATTERN, NUMBER_PATTERN

DIALECT = "https://json-schema.org/draft/2020-12/schema"
FOLDER = ".schemas"
_NUMBER = f"^{NUMBER_PATTERN.pattern}$"
_DATE = r"\d{4}-\d{2}-\d{2}"
# In YAML the tester writes a text as it reads: 2030 and no are texts here.
_TEXT: Mapping[str, Any] = MappingProxyType({"type": ["string", "number", "boolean"]})
_SCALARS: Mapping[str, Mapping[str, Any]] = MappingProxyType(
    {
        "parse_text": _TEXT,
        "parse_line": _TEXT,
        "parse_id": {
            "type": ["string", "number"],
            "pattern": f"^{ID_PATTERN.pattern}$",
        },
        "parse_number": {"type": ["number", "string"], "pattern": _NUMBER},
        "parse_whole": {"type": ["number", "string"], "pattern": _NUMBER},
        "parse_yes_no": {
            "anyOf": [
                {"type": "boolean"},
                {"type": "string", "pattern": "^(?i:yes|no|true|false|on|off)$"},
                {"enum": ["yes", "no"]},
            ]
        },
        "parse_date": {"type": "string", "pattern": f"^{_DATE}$", "format": "date"},
        "parse_moment": {
            "type": "string",
            "pattern": rf"^{_DATE}[T ].*(Z|[+-]\d\d:?\d\d)$",
        },
        "parse_link": {"type": "string", "pattern": "^(https?://|mailto:)"},
        "parse_web_link": {"type": "string", "pattern": "^https?://"},
        "parse_money": {
            "type": ["number", "string"],
            "pattern": r"^\d{1,12}(\.\d{1,3})?$",
            "minimum": 0,
        },
        "parse_currency": {"type": "string", "pattern": "^[A-Z]{3}$"},
        "parse_clock": {
            "type": ["string", "integer"],
            "pattern": r"^(\d+:[0-5]?\d|\d{1,2}):[0-5]\d$",
            "minimum": 0,
        },
        "_number_or_gap": {"type": ["number", "string"], "pattern": f"^$|{_NUMBER}"},
        "_checked": {
            "type": "string",
            "pattern": rf"^{ID_PATTERN.pattern}(\.{ID_PATTERN.pattern}){{2}}$",
        },
        "_target": {
            "type": "string",
            "pattern": rf"^({'|'.join(TARGET_KINDS)}):{ID_PATTERN.pattern}$",
        },
        # A path with forward slashes, no part of which is empty or made of dots.
        "parse_file_name": {
            "type": ["string", "number"],
            "pattern": r'^(?!(?:.*/)?\.{0,2}(?:/|$))[^\\:*?"<>|]+$',
        },
    }
)


class _OfRecords(GenerateJsonSchema):
    """Says what a field's check takes, instead of what it makes of it."""

    def function_before_schema(
        self, schema: core_schema.BeforeValidatorFunctionSchema
    ) -> JsonSchemaValue:
        """Return the schema of a field with a check of ours before its type."""
        check: Any = schema["function"]["function"]
        name = str(getattr(check, "__name__", ""))
        if name in _SCALARS:
            return dict(_SCALARS[name])
        if name == "check":
            return _bounded(check)
        inner = self.generate_inner(schema["schema"])
        if name == "_plain_number":
            return {"anyOf": [dict(_SCALARS["parse_number"]), inner]}
        if name == "_listed":
            return {"anyOf": [inner["items"], inner]}
        return inner


def _bounded(check: Callable[[Any], Any]) -> JsonSchemaValue:
    """Return the schema of a number with bounds, as its check holds them."""
    found: JsonSchemaValue = dict(_SCALARS["parse_number"])
    bounds = inspect.getclosurevars(check).nonlocals
    for name, word in (
        ("low", "minimum"),
        ("high", "maximum"),
        ("above", "exclusiveMinimum"),
    ):
        if bounds.get(name) is not None:
            found[word] = bounds[name]
    return found


def schemas() -> dict[str, dict[str, Any]]:
    """Return the JSON Schema of every kind of record, by kind; settings included."""
    found = {kind: _schema(adapter(kind), kind, is_record=True) for kind in KINDS}
    found["addresses"] = _schema(TypeAdapter(Addresses), "addresses", is_record=False)
    found["archive"] = _schema(TypeAdapter(Archive), "archive", is_record=False)
    return found


def _schema(model: TypeAdapter[Any], kind: str, *, is_record: bool) -> dict[str, Any]:
    raw = model.json_schema(schema_generator=_OfRecords, ref_template="#/$defs/{model}")
    clean: dict[str, Any] = _tidy(raw)
    if is_record:
        _without_id(clean, clean.get("$defs", {}))
    return {"$schema": DIALECT, "title": kind, **clean}


def _without_id(schema: dict[str, Any], parts: dict[str, Any]) -> None:
    """Take the id out, which the name of the file says."""
    for member in schema.get("oneOf", ()):
        _without_id(parts[member["$ref"].rpartition("/")[2]], {})
    if "$ref" in schema:
        _without_id(parts[schema["$ref"].rpartition("/")[2]], {})
    schema.get("properties", {}).pop("id", None)
    if "required" in schema:
        schema["required"] = [name for name in schema["required"] if name != "id"]


def _tidy(part: Any) -> Any:
    """Return a schema without nulls, empty defaults and made-up titles."""
    if isinstance(part, list):
        return [_tidy(item) for item in part]
    if not isinstance(part, dict):
        return part
    found: dict[str, Any] = {}
    for key, value in part.items():
        # A model that also takes a plain number is closed inside, not around it.
        closed = key == "additionalProperties" and "anyOf" in part
        if (
            closed
            or key in {"discriminator", "default"}
            or (key == "title" and isinstance(value, str))
        ):
            continue
        if key == "properties":
            found[key] = {
                ("is" if name == "is_" else name): _tidy(inner)
                for name, inner in value.items()
            }
        elif key == "anyOf":
            kept = [_tidy(one) for one in value if one != {"type": "null"}]
            if len(kept) == 1:
                found.update(kept[0])
            else:
                found[key] = kept
        elif key == "description":
            found[key] = " ".join(str(value).split())
        else:
            found[key] = _tidy(value)
    return found


def schema_text(schema: Mapping[str, Any]) -> str:
    """Return a schema as the text of a file."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def schema_files() -> dict[str, bytes]:
    """Return the files of all schemas, by their paths below an archive."""
    return {
        f"{FOLDER}/{kind}.json": schema_text(schema).encode()
        for kind, schema in schemas().items()
    }


def schema_comment(path: str) -> str | None:
    """Return the comment that leads editors from a record to its schema.

    Args:
        path: path of the record below the archive.

    Returns:
        The line without its end; nothing for a file that is no record.
    """
    folders = {kind.folder: kind.name for kind in KINDS.values()}
    parts = path.split("/")
    if path == SETTINGS_FILE:
        kind = "archive"
    elif path == "records/addresses.yaml":
        kind = "addresses"
    elif parts[0] == "records" and len(parts) > 2 and parts[1] in folders:
        kind = folders[parts[1]]
    else:
        return None
    up = "../" * (len(parts) - 1)
    return f"# yaml-language-server: $schema={up}{FOLDER}/{kind}.json"


def write_schemas(archive: Path) -> tuple[Path, ...]:
    """Write the schemas into an archive and return their paths."""
    written = []
    for name, data in schema_files().items():
        path = archive / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.is_file() or path.read_bytes() != data:
            path.write_bytes(data)
        written.append(path)
    return tuple(written)
