"""What was logged of a vocal chain, and how the recall sheet says it."""

from django.urls import reverse

from gear.patchbay.models import PatchPoint
from sessions.setups.models import Path

HOSTILE = "Ease off <img src=file:///etc/hostname> <script>alert(1)</script>"

# Tag: path, patched in at, patched out at, settings. As the panels of Quay Steps are engraved.
STAGES = [
    ("M-01", Path.PRINTED, None, None, {"low-cut": 1}),
    ("S-01", Path.PRINTED, None, "A1", {"power": 1, "pattern": 2}),
    (
        "P-01",
        Path.PRINTED,
        "B1",
        "A5",
        {"48-v": 0, "polarity": 0, "gain": 35, "trim": 2.5, "middle-frequency": 2200},
    ),
    ("C-01", Path.PRINTED, "B8", "A8", {"threshold": -10, "ratio": 4, "gain-reduction": 3}),
    ("D-07", Path.MONITOR_ONLY, "B5", None, {"fader": -10, "filter": 1}),
    ("A-01", Path.PRINTED, "B10", None, {"full-scale": 18}),
]

SAID = [
    "Low cut 60 Hz",
    "Power on",
    "Pattern cardioid 12:00",
    "48 V off",
    "Polarity normal",
    "Gain 35 dB 10:00",
    "Trim +2.5 dB 1:15",
    "Low not logged",
    "Middle frequency 2.2 kHz",
    "Threshold −10 dBu 1:00",
    "Ratio 4:1 12:00",
    "Attack not logged",
    "Gain reduction 3 dB",
    "Fader −10 dB at 55 %",
    "Filter in",
    "Full scale +18 dBu",
]

POINTS = [
    "Bay 1 A1 Wall 1",
    "Bay 1 B1 Pre 1 in",
    "Bay 1 A5 Pre 1 out",
    "Bay 1 B8 Dry 1 in",
    "Bay 1 A8 Dry 1 out",
    "Bay 1 B5 Line 1",
    "Bay 1 B10 Record 1",
]


def point(place):
    if not place:
        return None
    return PatchPoint.objects.get(row=place[0], column=int(place[1:]))


def pdf_of(client, song, **query):
    return client.get(reverse("recall:song_pdf", args=[song.pk]), query)
