"""The command line: thin commands over the floorplan library."""
