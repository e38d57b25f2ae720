"""The command line. Light on purpose: ``compile`` with nothing to do ends here."""

from __future__ import annotations

import os
import sys

EXIT_DONE = 0


def main() -> None:
    """Run the command that the arguments ask for, and exit with its code."""
    from sitegen.cli.quick import nothing_to_do  # noqa: PLC0415 - standard library only

    arguments = sys.argv[1:]
    if nothing_to_do(arguments):
        sys.exit(EXIT_DONE)
    from sitegen.archive_build.pool import ONE_THREAD  # noqa: PLC0415 - not needed above

    # Before numpy is loaded: it reads this once. See there why.
    os.environ.update(dict.fromkeys(ONE_THREAD, "1"))
    from sitegen.cli.commands import run  # noqa: PLC0415 - brings click and more

    sys.exit(run(arguments))
