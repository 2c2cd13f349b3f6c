"""What people remember of the demo's songs, written down before the search was tuned to anything:
two or three words each, as the singers, players, clients and engineers of its story would say them
months later. Some are misspelt, some name a month, a season, or what a unit is rather than its tag.

`{band}`, `{strings}` … stand for the month of that day, since the demo's dates are relative to
today (`studio/demo/earlier.py`, `band_day.py`).
"""

LANTERN = "Slow the Lantern"
NEAP = "Neap and Spring"
BELLS = "Seven Bells Round"
CLERK = "The Ferry Clerk’s Complaint"
SALT = "Salt on the Sill"
TITLES = "1m1 Opening titles"
SLUICE = "1m4 The sluice before dawn"
INQUEST = "2m2 Inquest"
END = "3m7 End titles"
NARRATION = "Narration"
FROST = "Frost on the Counting House"
CANDLES = "Three Cold Candles"
SEXTON = "Sexton, Ring It Slow"
RECKONING = "The Long Night Reckoning"
LEVER = "Episode 1: Lever Nine"
DOWN_LINE = "Episode 2: The Down Line"
ALL_CLEAR = "Episode 3: All Clear"

#: Days from today, of which the month is remembered.
DAYS = {"band": -8, "quartet": 0, "strings": -66, "carols": -38, "second": -52}

MEMORIES = [
    # The players and singers
    ("cornet last chorus", LANTERN),
    ("ludo softer", LANTERN),
    ("slow lantren", LANTERN),
    ("towpath lock gate", LANTERN),
    ("lost count 33", LANTERN),
    ("thumb bass", NEAP),
    ("laughter quartet", NEAP),
    ("voices demo piano", NEAP),
    ("chalk on wall", NEAP),
    ("click too loud", NEAP),
    ("bram spoken verse", BELLS),
    ("porridge looking", BELLS),
    ("reading a bill", BELLS),
    ("sevn bels", BELLS),
    ("snare wallet", LANTERN),
    ("mina trombone {band}", NEAP),
    ("hesper quartet {quartet}", NEAP),
    ("piper tune", CLERK),
    ("stamp it tear", CLERK),
    ("salt in bread", SALT),
    ("Ottoline narration", NARRATION),
    ("silas organ reckoning", RECKONING),
    # The producer and the clients
    ("windlass lantern {band}", LANTERN),
    ("neep spring", NEAP),
    ("ferrry complaint", CLERK),
    ("receipts june", CLERK),
    ("SALT SILL", SALT),
    ("salt voice piano", SALT),
    ("rough mix quartet", NEAP),
    ("thole ledger bells", BELLS),
    ("rosamund cornet {band}", LANTERN),
    ("jasper opening titles", TITLES),
    ("cinder walk inquest", INQUEST),
    ("sluise dawn", SLUICE),
    ("end titles violins", END),
    ("inquest strings {strings}", INQUEST),
    ("1m1 {strings}", TITLES),
    ("frost counting house", FROST),
    ("tern street candels", CANDLES),
    ("sexton carol", SEXTON),
    ("carols {carols} frost", FROST),
    ("halfpenny lever", LEVER),
    ("down line {second}", DOWN_LINE),
    ("sallow all clear", ALL_CLEAR),
    # The engineers, by what stood in the room
    ("ribbon brass {band}", BELLS),
    ("ribon trombone", NEAP),
    ("tierce cornet", LANTERN),
    ("MR-02 trombone {band}", BELLS),
    ("valve bram", BELLS),
    ("compressor bass thumb", NEAP),
    ("drystone quartet", NEAP),
    ("di bass threshold", LANTERN),
    ("moving coil snare", BELLS),
    ("omni piano spaced", NEAP),
    ("euphonium from above", BELLS),
    ("hung room mics brass", LANTERN),
    ("felt beater kick", NEAP),
    ("narrator two distances", NARRATION),
    ("everybody at once bells", BELLS),
    ("yarrell rope floor lantern", LANTERN),
]
