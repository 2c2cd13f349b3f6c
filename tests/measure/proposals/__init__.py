"""Proposals held against chains of which it is known what was moved."""
