"""``python -m sitegen.cli``."""

from sitegen.cli import main

main()
