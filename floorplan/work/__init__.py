"""The work plan: pour zones, clock, conditions, tests and days."""
