"""Sheets as marks on paper: layout, lettering, dimensions, and one module a sheet."""
