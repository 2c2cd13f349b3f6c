"""Tomorrow's session, set up on paper: its warnings are there to be seen."""

from sessions.bookings.models import Status
from sessions.setups.models import Orientation, Setup
from studio.demo.chains import Line, S, make_chain, pre, record
from studio.demo.days import as_of, at

NARRATOR = Line(
    "Narrator",
    "Narr",
    ("Narrator",),
    [
        S("MV-01"),
        S("SU-01", {"mains": 1, "pattern": 2}, "", "Bread 1"),
        pre(9, 40, phantom=False, **{"low-cut": 45}),
        record(9),
    ],
    {
        "distance_cm": 24,
        "height_cm": 126,
        "orientation": Orientation.UPRIGHT,
        "pattern": "Cardioid",
        "pop_filter": True,
        "pop_filter_cm": 8,
        "note": "Seated, script on the cloth table.",
    },
)
# On the phantom switch that the valve microphone's input shares: the page warns.
FURTHER_OFF = Line(
    "Narrator, further off",
    "Narr Rm",
    (),
    [
        S("MC-11", {"low-cut": 1}, "", "Bread 2"),
        pre(10, 46, phantom=False),
        record(10),
    ],
    {"distance_cm": 160, "height_cm": 150, "pattern": "Cardioid"},
)


def prepare_narration(work) -> None:
    with as_of(at(-6, 15)):
        session = work.book(
            "film",
            "Narration, reels one and two",
            at(1, 10),
            at(1, 15),
            Status.CONFIRMED,
            work.bread_room,
            ["MV-01", "SU-01", "MC-11", "PR-02"],
            note="Director listens in by line.",
        )
    setup = Setup.objects.create(
        session=session, name="Narrator, two distances", buffer_samples=256
    )
    for number, line in ((9, NARRATOR), (10, FURTHER_OFF)):
        parts = work.parts("Narration", *line.parts) if line.parts else ()
        make_chain(setup, line, by=work.engineer, parts=parts, number=number)
