"""From tape lengths to corners: walks, sides and diagonals, offsets; with the error of each figure stated."""
