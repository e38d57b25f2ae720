"""Which cautions stand beside what, and how their texts are read.

Cautions follow from the records and cannot be switched off; their texts ship with
the tool, one file a code in ``content/cautions/``. What a page needs is small: the
codes of the records that it shows, in one order everywhere.
"""

from __future__ import annotations

from collections.abc import Iterable

from sitegen.errors import MachineFault
from sitegen.model import DecayMethod, Device, Filter, PowerMethod, SoundMethod
from sitegen.pages.frame import Caution, Page
from sitegen.pages.markdown import parse_prose

AnyMethod = DecayMethod | SoundMethod | PowerMethod

TEST_AEROSOL = "test-aerosol"
SMOKE_AND_FIRE = "smoke-and-fire"
MODIFIED_FAN = "modified-fan"
OZONE = "ozone"
UV_C = "uv-c"
IN_DUCT = "in-duct"
MAINS = "mains"
USED_FILTERS = "used-filters"
SIZING = "sizing"
HEALTH = "health-and-ventilation"

CODES = (
    TEST_AEROSOL,
    SMOKE_AND_FIRE,
    MODIFIED_FAN,
    OZONE,
    UV_C,
    IN_DUCT,
    MAINS,
    USED_FILTERS,
    SIZING,
    HEALTH,
)
"""Every caution, in the order in which they stand: what can hurt soonest first."""

# What concerns whoever stands near the device while it runs.
_WHILE_RUNNING = frozenset({MODIFIED_FAN, OZONE, UV_C, IN_DUCT})
_OZONE_FEATURES = frozenset({"ioniser", "ozone", "photocatalytic"})


def in_order(codes: Iterable[str]) -> tuple[str, ...]:
    """Return codes each once, in the order in which they stand.

    Raises:
        KeyError: if one of them is no caution.
    """
    wanted = set(codes)
    if unknown := wanted - set(CODES):
        raise KeyError(*sorted(unknown))
    return tuple(code for code in CODES if code in wanted)


def for_device(device: Device) -> tuple[str, ...]:
    """Return the cautions of a device, from its form, features and speeds."""
    found = {HEALTH, SIZING}
    if device.modified is not None or device.form == "kit":
        found.add(MODIFIED_FAN)
    if _OZONE_FEATURES & set(device.features) or any(
        speed.ioniser for speed in device.speeds
    ):
        found.add(OZONE)
    if "uvc" in device.features or any(speed.uvc for speed in device.speeds):
        found.add(UV_C)
    if device.form == "in-duct":
        found.add(IN_DUCT)
    if device.filters:
        found.add(USED_FILTERS)
    return in_order(found)


def for_filter(_record: Filter) -> tuple[str, ...]:
    """Return the cautions of a filter: it will be a used one."""
    return (USED_FILTERS,)


def for_method(method: AnyMethod) -> tuple[str, ...]:
    """Return the cautions of a method, from its kind and its aerosol."""
    if isinstance(method, PowerMethod):
        return (MAINS,)
    if isinstance(method, SoundMethod):
        return ()
    # Nobody can tell from "other" that nothing is burnt.
    if method.aerosol_kind in {"smoke", "other"}:
        return (TEST_AEROSOL, SMOKE_AND_FIRE)
    return (TEST_AEROSOL,)


def for_run(method: Iterable[str], device: Iterable[str] = ()) -> tuple[str, ...]:
    """Return the cautions of a run.

    Args:
        method: codes of its method.
        device: codes of its device; none for a natural decay.
    """
    return in_order({*method, *(_WHILE_RUNNING & set(device))})


def for_devices(devices: Iterable[Iterable[str]]) -> tuple[str, ...]:
    """Return the cautions of a table, a comparison or a list of devices.

    Args:
        devices: codes of each device shown.
    """
    found = {code for codes in devices for code in codes}
    return in_order({*(_WHILE_RUNNING & found), HEALTH})


def for_finder() -> tuple[str, ...]:
    """Return the cautions beside what proposes a machine for a room."""
    return (SIZING, HEALTH)


def for_bench(methods: Iterable[Iterable[str]]) -> tuple[str, ...]:
    """Return the cautions of the page of rooms and instruments.

    Args:
        methods: codes of each method that uses them.
    """
    return in_order({code for codes in methods for code in codes})


def left_out(page: Page, data: bytes) -> tuple[Caution, ...]:
    """Return the cautions that a page calls for and its bytes do not hold.

    An archive may bring layouts of its own; what a page calls for stands in what it
    shows, whatever its layout makes of that.

    Args:
        page: the page.
        data: what its layout made of it.
    """
    context = page.context
    wanted: tuple[Caution, ...] = getattr(context, "cautions", ())
    wanted += getattr(getattr(context, "given", None), "cautions", ())
    return tuple(each for each in wanted if each.html.encode() not in data)


def caution_from(data: bytes, code: str) -> Caution:
    """Return a caution from its file.

    Args:
        data: bytes of ``content/cautions/LANGUAGE/CODE.md``: a heading, then the text.
        code: its code.

    Raises:
        MachineFault: if the file that ships with the tool is damaged.
    """
    prose = parse_prose(data, f"cautions/{code}.md")
    if prose.faults or prose.targets:
        raise MachineFault(f"the caution {code} is damaged; install the tool anew")
    return Caution(code, prose.title, "".join(part.html for part in prose.parts))
