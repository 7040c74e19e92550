"""Tests, room by room."""
