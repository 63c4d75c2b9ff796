"""Text and TOML files with the place of everything in them, and readers that collect faults."""
