"""What a compile imports, so that a process forked from here begins at once.

Nothing is drawn here: a fork after the chart converter has started would hang.
"""

from __future__ import annotations

import altair
import pandas
import PIL.Image
import vl_convert

from sitegen.archive_build.table import all_steps
from tests.bench import played

__all__ = ["PIL", "all_steps", "altair", "pandas", "played", "vl_convert"]
