"""A raw log becomes a series and a run record, shown before anything is written."""
