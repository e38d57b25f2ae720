"""What the records and the measurements amount to, configuration by configuration."""
