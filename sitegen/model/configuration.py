"""A configuration: one device with one filter at one fan speed."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from pydantic import BeforeValidator

from sitegen.model.scalars import ID_PATTERN, parse_line, refuse

NO_FILTER = "none"


class Configuration(NamedTuple):
    """One device with one filter at one fan speed.

    Attributes:
        device: id of the device.
        filter: id of the filter, or ``none``.
        speed: id of the fan speed.
    """

    device: str
    filter: str
    speed: str

    def __str__(self) -> str:
        """Return the written form, ``DEVICE.FILTER.SPEED``."""
        return ".".join(self)


def parse_configuration(text: str) -> Configuration | None:
    """Return the configuration that ``DEVICE.FILTER.SPEED`` names, or nothing."""
    parts = text.split(".")
    if len(parts) != 3 or not all(ID_PATTERN.fullmatch(part) for part in parts):
        return None
    return Configuration(*parts)


def _checked(value: Any) -> str:  # noqa: ANN401 - bytes from outside
    text = parse_line(value)
    if parse_configuration(text) is None:
        raise refuse("not-a-configuration", value=text[:60])
    return text


ConfigurationText = Annotated[str, BeforeValidator(_checked)]
