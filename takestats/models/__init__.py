"""Trays in, fitted take model out."""
