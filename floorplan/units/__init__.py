"""Numbers with units: read in every notation, kept metric, written in the units of the plan."""
