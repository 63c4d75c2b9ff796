"""The plan: as typed, read from TOML and written back."""
