"""The table of steps: the one place that says which steps there are."""

from __future__ import annotations

from sitegen.archive_build.asset_files import asset_steps
from sitegen.archive_build.choice_pages import choice_steps
from sitegen.archive_build.citing import citing_steps
from sitegen.archive_build.correcting import correcting_steps
from sitegen.archive_build.curve_files import curve_steps
from sitegen.archive_build.departing import departing_steps
from sitegen.archive_build.desk_facts import desk_steps
from sitegen.archive_build.device_pages import device_steps
from sitegen.archive_build.downloads import download_steps
from sitegen.archive_build.drawing import drawing_steps
from sitegen.archive_build.edition_pages import edition_steps
from sitegen.archive_build.editions import frozen_steps
from sitegen.archive_build.finding import finding_steps
from sitegen.archive_build.linked import linking_steps
from sitegen.archive_build.measuring_cards import card_steps
from sitegen.archive_build.measuring_claims import claim_steps
from sitegen.archive_build.measuring_ranks import rank_steps
from sitegen.archive_build.measuring_results import result_steps
from sitegen.archive_build.measuring_runs import run_finding_steps
from sitegen.archive_build.media import media_steps
from sitegen.archive_build.run_pages import run_steps
from sitegen.archive_build.shelf_pages import shelf_steps
from sitegen.archive_build.sources import source_steps
from sitegen.archive_build.summaries import summary_steps
from sitegen.archive_build.texts import text_steps
from sitegen.rebuild import Step


def all_steps() -> tuple[Step, ...]:
    """Return every step, from the archive's files to the site's."""
    return (
        *source_steps(),  # files become records, faults, what may be shown
        *run_finding_steps(),  # series become fits and reports
        *result_steps(),  # a device's runs become results and costs
        *rank_steps(),  # results are set side by side
        *claim_steps(),  # what makers and directories say, against that
        *card_steps(),  # what lists, tables and comparisons show
        *summary_steps(),  # what lists and data files take from one run or device
        *desk_steps(),  # what is open, for the worklist
        *asset_steps(),  # styles and scripts, named by their bytes
        *text_steps(),  # words, prose, layouts, the frame of a page
        *linking_steps(),  # names by which records link to each other
        *correcting_steps(),  # which changes concern which page
        *drawing_steps(),  # findings become figures
        *curve_steps(),  # curves for readers' own comparisons
        *frozen_steps(),  # what an edition keeps, and what changed since
        *edition_steps(),
        *device_steps(),
        *run_steps(),
        *choice_steps(),
        *finding_steps(),  # what the finder's script reckons with
        *shelf_steps(),
        *departing_steps(),  # what stands at addresses that moved or are gone
        *media_steps(),
        *citing_steps(),
        *download_steps(),  # data, feed, sitemap, and the list of all outputs
    )
