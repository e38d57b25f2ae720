"""How the domain's values are stored by the engine."""

from __future__ import annotations

import json
from functools import cache
from typing import Any, get_args

from pydantic import TypeAdapter

from sitegen.model import KINDS, Record, adapter
from sitegen.rebuild import Codec


def typed_codec(kind: Any) -> Codec[Any]:  # noqa: ANN401 - any type that pydantic takes
    """Return the codec of a frozen dataclass, or of a container of them.

    Equal values give equal bytes: fields keep their order, floats their shortest
    spelling. NaN and infinities never occur in what is stored.
    """

    def encode(value: Any) -> bytes:  # noqa: ANN401 - see above
        return _adapter_of(kind).dump_json(value)

    def decode(data: bytes) -> Any:  # noqa: ANN401 - see above
        return _adapter_of(kind).validate_json(data)

    return Codec(encode, decode)


@cache
def _adapter_of(kind: Any) -> TypeAdapter[Any]:  # noqa: ANN401 - see above
    """Return what reads and writes a type; made once, for it takes milliseconds."""
    return TypeAdapter(kind)


@cache
def _kinds_by_class() -> dict[type, str]:
    """Return the kind of each record class; unions are taken apart."""
    found: dict[type, str] = {}
    for kind in KINDS.values():
        union = get_args(kind.model)
        classes = get_args(union[0]) if union else (kind.model,)
        found.update(dict.fromkeys(classes, kind.name))
    return found


def _kind_of(record: Record) -> str:
    return _kinds_by_class()[type(record)]


def _encode_record(record: Record) -> bytes:
    data = {"kind": _kind_of(record), "data": record.model_dump(mode="json")}
    return json.dumps(data, sort_keys=True, ensure_ascii=False).encode()


def _decode_record(data: bytes) -> Record:
    stored = json.loads(data)
    return adapter(stored["kind"]).validate_python(stored["data"])


record_codec: Codec[Record] = Codec(_encode_record, _decode_record)
"""A record of any kind."""
