"""Fits and figures on a Dask cluster, through the same seam as a pool of processes."""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import CancelledError, Executor
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sitegen.archive_build.pool import ONE_THREAD
from sitegen.archive_build.tool import tool_digest
from sitegen.errors import MachineFault, usage_fault

if TYPE_CHECKING:
    from distributed import Client

ANSWER_S = 10.0
"""How long to wait for the scheduler, and for a first worker, s."""


@contextmanager
def cluster(address: str) -> Iterator[Executor]:
    """Yield an executor that hands work to the workers of a cluster.

    What workers return is published as it is, so they are looked at first: the same
    sitegen and libraries as here, one thread for matrix products. Workers that join
    later get no work.

    Args:
        address: the scheduler's, such as ``tcp://10.0.0.5:8786``.

    Raises:
        UsageFault: if the library is not installed here, or workers are not alike.
        MachineFault: if the cluster does not answer, or loses work.
    """
    try:
        from distributed import Client, KilledWorker
    except ImportError as error:
        raise usage_fault("--cluster", "cluster-not-installed") from error
    try:
        client = Client(  # type: ignore[no-untyped-call]
            address, timeout=ANSWER_S, set_as_default=False
        )
    except (OSError, ValueError) as error:
        message = f"{address}: no Dask scheduler answers there; start it, or look again"
        raise MachineFault(message) from error
    with client:
        alike = _workers_alike(client, address)
        try:
            yield client.get_executor(  # type: ignore[no-untyped-call]
                workers=alike, pure=False
            )
        except (KilledWorker, CancelledError) as error:
            message = f"{address}: the cluster lost its work; look at it, then again"
            raise MachineFault(message) from error


def _workers_alike(client: Client, address: str) -> list[str]:
    """Return the addresses of the workers, if all can be relied upon."""
    try:
        client.wait_for_workers(1, timeout=ANSWER_S)
    except TimeoutError as error:
        message = f"{address}: the cluster has no workers; start some there"
        raise MachineFault(message) from error
    try:
        found: dict[str, str] = client.run(standing)
    except ImportError as error:
        raise usage_fault(address, "cluster-without-sitegen") from error
    other = sorted(name for name, said in found.items() if said != standing())
    if other:
        raise usage_fault(
            address,
            "cluster-unlike",
            settings=", ".join(ONE_THREAD),
            workers=", ".join(other),
        )
    return sorted(found)


def standing() -> str:
    """Return what decides results in a process: the tool, and threads for products."""
    threads = {name: os.environ.get(name, "") for name in ONE_THREAD}
    return f"{tool_digest()} {threads}"
