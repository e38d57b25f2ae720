"""The tree of exceptions; each carries data, none carries prose of its own."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.errors.faults import Fault
from sitegen.errors.machine_words import REMEDIES


class SitegenError(Exception):
    """Root of everything that sitegen raises on purpose.

    ``exit_code`` is what the command ends with when nothing catches it.
    """

    exit_code = 1


class FaultsFound(SitegenError):
    """The archive has faults; nothing that was published is touched."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__(f"{len(faults)} faults")
        self.faults = tuple(faults)


class UsageFault(SitegenError):
    """The command was asked for something that it does not do."""

    exit_code = 2


class MachineFault(SitegenError):
    """Disk, permission or another fault of the machine."""

    exit_code = 3

    @classmethod
    def of(cls, error: OSError, path: str = "") -> MachineFault:
        """Return the fault that a refusal by the system is.

        It says the path (the system's own, or ``path``) and what to do, as far as
        they are known.
        """
        reason = error.strerror or str(error)
        where = path or error.filename
        told = f"{where}: {reason}" if where else reason
        remedy = REMEDIES.get(error.errno or 0)
        return cls(f"{told}; {remedy}" if remedy else told)


class LockHeld(MachineFault):
    """Another process is writing the same archive's state."""


class MeasureError(SitegenError):
    """The data cannot support the number asked for.

    Attributes:
        code: short machine-readable reason, for example ``too_few_points``.
        detail: the figures behind the reason, by name.
    """

    def __init__(self, code: str, **detail: float | str) -> None:
        named = ", ".join(f"{key}={value}" for key, value in detail.items())
        super().__init__(f"{code} ({named})" if named else code)
        self.code = code
        self.detail = detail


class RebuildError(SitegenError):
    """The engine was handed a graph that it cannot build.

    Attributes:
        code: short machine-readable reason, for example ``two_claims``.
        detail: the keys or paths concerned, by name.
    """

    exit_code = 3

    def __init__(self, code: str, **detail: str) -> None:
        named = ", ".join(f"{key}={value}" for key, value in detail.items())
        super().__init__(f"{code} ({named})" if named else code)
        self.code = code
        self.detail = detail
