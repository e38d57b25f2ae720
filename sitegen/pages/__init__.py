"""Which pages exist, what each shows, and how it is written."""
