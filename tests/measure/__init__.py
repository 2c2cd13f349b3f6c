"""What the studio promises under load, measured and raced: `python -m tests.measure --help`."""
