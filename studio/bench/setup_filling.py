"""Setups with chains of so many controls, every one of them logged."""

from gear.equipment.models import Category, GearModel, Unit
from gear.panels.models import Control, Kind, Meaning, Panel
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.actions import Seen, add_chain, add_stage
from sessions.setups.models import Path, Setup
from studio.bench.filling import House

STAGES, CONTROLS = 4, 10  # of a chain, and of each of its stages
MARKS = [
    {"value": 0, "angle": -150, "label": ""},
    {"value": 30, "angle": 0, "label": ""},
    {"value": 60, "angle": 150, "label": ""},
]


def filled_setup(house: House, session: RecordingSession, chains: int) -> Setup:
    """A setup of the session with that many chains of 40 controls, each on units of its own."""
    setup = Setup.objects.create(session=session, name=f"{chains} chains")
    panels = [_panel(f"Strip {chains}-{number}") for number in range(chains * STAGES)]
    for number in range(chains):
        chain = add_chain(setup, by=house.manager, source=f"Voice {number}", track=f"Vox {number}")
        for panel in panels[number * STAGES : (number + 1) * STAGES]:
            add_stage(
                chain,
                seen=Seen.of(chain.revisions.get()),
                by=house.manager,
                unit=Unit.objects.create(model=panel.model, asset_tag=panel.model.name),
                panel=panel,
                path=Path.PRINTED,
                settings=dict.fromkeys((f"gain-{n}" for n in range(1, CONTROLS + 1)), 30),
            )
    return setup


def _panel(name: str) -> Panel:
    """Of a model of its own, so that every stage's controls are rows of their own."""
    model = GearModel.objects.create(maker="Tidewell", name=name, category=Category.CHANNEL)
    panel = Panel.objects.create(model=model)
    Control.objects.bulk_create(
        Control(
            panel=panel,
            position=number,
            key=f"gain-{number}",
            label=f"Gain {number}",
            kind=Kind.CONTINUOUS,
            unit="dB",
            meaning=Meaning.OTHER,
            marks=MARKS,
        )
        for number in range(1, CONTROLS + 1)
    )
    return panel
