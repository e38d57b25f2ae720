"""The tester's helpers: start, and what else happens at the desk."""
