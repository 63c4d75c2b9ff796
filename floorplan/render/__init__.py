"""Marks to file formats, one thin module a format."""
