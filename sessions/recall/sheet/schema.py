"""What recall data is written by. No Django here: files from outside are read without it."""

from pathlib import Path

FORMAT = "recall sheet"
VERSION = 6  # 5 had nothing reserved for measurements; 4 did not say what was copied and not yet set, nor which lines come from which take; 3 had no photographs nor facts of sources; 2 had takes of one part; 1 no patch list, level plan, curves, changes nor headphones
ENCLOSED_AS = "recall.json"  # on a sheet's PDF
SCHEMA_FILE = Path(__file__).with_name("recall.schema.json")
EXAMPLE_FILE = Path(__file__).with_name("recall.example.json")
