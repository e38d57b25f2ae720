"""What a shell completes after Tab: ids of the archive at hand, codes of faults.

The shell asks through click's own completion; see the README. Nothing is read but the
names of files, so that an answer comes at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

import click
from click.shell_completion import CompletionItem

Completion = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]


def ids_of(*folders: str) -> Completion:
    """Return what completes ids of records.

    Args:
        folders: where such records lie, below ``records``.
    """

    def complete(
        ctx: click.Context, _: click.Parameter, begun: str
    ) -> list[CompletionItem]:
        # The archive stands behind the id, so that it is rarely there yet.
        archive = Path(ctx.params.get("archive") or ".")
        found = {
            path.stem
            for folder in folders
            for path in (archive / "records" / folder).rglob("*.yaml")
        }
        return _begun(sorted(found), begun)

    return complete


def codes(_: click.Context, __: click.Parameter, begun: str) -> list[CompletionItem]:
    """Return the codes of faults and warnings that begin so."""
    from sitegen.errors import CODES  # noqa: PLC0415 - only after Tab

    return _begun(sorted(CODES), begun)


def _begun(names: Iterable[str], begun: str) -> list[CompletionItem]:
    return [CompletionItem(name) for name in names if name.startswith(begun)]
