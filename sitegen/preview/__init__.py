"""Look at the archive while editing it: watch, compile aside, serve, reload."""
