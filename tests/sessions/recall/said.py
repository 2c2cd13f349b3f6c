"""What was logged of a vocal chain, and how the recall sheet says it."""

from django.urls import reverse

from gear.patchbay.models import PatchPoint
from sessions.setups.models import Path

HOSTILE = "Ease off <img src=file:///etc/hostname> <script>alert(1)</script>"

# Tag: path, patched in at, patched out at, settings. As the panels of Quay Steps are engraved.
STAGES = [
    ("MV-01", Path.PRINTED, None, None, {}),
    ("SU-01", Path.PRINTED, None, "A1", {"mains": 1, "pattern": 2}),
    ("PR-01", Path.PRINTED, "B1", "C1", {"48-v": 0, "polarity": 0, "low-cut": 45, "gain": 30}),
    ("CO-01", Path.PRINTED, "D17", "C17", {"threshold": -10, "ratio": 4, "gain-reduction": 2}),
    ("MX-01", Path.MONITOR_ONLY, "D21", None, {"trim": 2.5, "fader": -15}),
    ("AD-01", Path.PRINTED, "D1", None, {"full-scale": 18}),
]

SAID = [
    "Mains on",
    "Pattern cardioid 1:00",
    "48 V off",
    "Pad not logged",
    "Polarity normal",
    "Low cut 45 Hz 12:00",
    "Gain 30 dB 11:20",
    "Threshold −10.0 dBu 11:30",
    "Ratio 4:1 1:00",
    "Attack not logged",
    "Gain reduction read 2 dB",
    "Trim +2.5 dB",
    "Fader −15 dB at 47 %",
    "Full scale +18.0 dBu",
]

POINTS = [
    "Bay 1 A1 Floor 1",
    "Bay 1 B1 Pre 1 in",
    "Bay 2 C1 Pre 1 out",
    "Bay 2 D17 Dry 1 in",
    "Bay 2 C17 Dry 1 out",
    "Bay 2 D21 Desk 1 in",
    "Bay 2 D1 Record 1",
]


def point(place):
    if not place:
        return None
    return PatchPoint.objects.get(row=place[0], column=int(place[1:]))


def pdf_of(client, song, **query):
    return client.get(reverse("recall:song_pdf", args=[song.pk]), query)
