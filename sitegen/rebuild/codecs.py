"""How values become bytes: always the same bytes for the same value."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Codec(Generic[T]):
    """A pair of functions; equal values must give equal bytes.

    Attributes:
        encode: value to bytes.
        decode: bytes to value. What other steps receive is always the decoded
            value, also right after the step has run.
    """

    encode: Callable[[T], bytes]
    decode: Callable[[bytes], T]


def _to_json(value: Any) -> bytes:  # noqa: ANN401 - JSON has no narrower type
    # Keys sorted, shortest float spelling, NaN and infinities refused (ValueError).
    text = json.dumps(
        value,
        sort_keys=True,
        separators=(",", ":"),
        ensure_ascii=False,
        allow_nan=False,
    )
    return text.encode("utf-8", "surrogatepass")


def _from_json(data: bytes) -> Any:  # noqa: ANN401 - JSON has no narrower type
    return json.loads(data.decode("utf-8", "surrogatepass"))


json_codec: Codec[Any] = Codec(_to_json, _from_json)
"""Plain data; tuples come back as lists, and keys of mappings as text."""

bytes_codec: Codec[bytes] = Codec(bytes, bytes)
"""Bytes as they are."""

text_codec: Codec[str] = Codec(str.encode, bytes.decode)
"""Text as UTF-8."""
