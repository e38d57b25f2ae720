"""Charts of what was found: one module a kind, one theme, drawn as SVG."""
