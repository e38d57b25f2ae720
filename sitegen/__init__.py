"""sitegen: test records compiled into a lasting, browsable archive."""

__version__ = "0.1.0"
