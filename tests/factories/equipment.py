import factory
from factory.django import DjangoModelFactory

from gear.equipment.models import Category, Fault, GearModel, Phantom, SignalLevel, Unit
from gear.panels.models import Control, Kind, Meaning, Panel
from gear.patchbay.models import Bay, PatchPoint, Side
from tests.factories.people import UserFactory


class GearModelFactory(DjangoModelFactory):
    class Meta:
        model = GearModel

    maker = "Hobweir"
    name = factory.Sequence(lambda n: f"Model {n}")
    category = Category.PREAMPLIFIER
    input_level = SignalLevel.MICROPHONE
    output_level = SignalLevel.LINE


class MicrophoneModelFactory(GearModelFactory):
    maker = "Skerrow Acoustic"
    category = Category.MICROPHONE
    transducer = "condenser"
    phantom = Phantom.NEEDED
    sensitivity_mv_pa = 20
    max_spl_db = 130
    input_level = ""
    output_level = SignalLevel.MICROPHONE


class UnitFactory(DjangoModelFactory):
    class Meta:
        model = Unit

    model = factory.SubFactory(GearModelFactory)
    asset_tag = factory.Sequence(lambda n: f"QS-{n:04}")


class FaultFactory(DjangoModelFactory):
    class Meta:
        model = Fault

    unit = factory.SubFactory(UnitFactory)
    description = "Crackles when touched"
    reported_by = factory.SubFactory(UserFactory)


class PanelFactory(DjangoModelFactory):
    class Meta:
        model = Panel

    model = factory.SubFactory(GearModelFactory)


class ControlFactory(DjangoModelFactory):
    """A gain knob of 0 to 60 dB from 7 to 5 o'clock."""

    class Meta:
        model = Control

    panel = factory.SubFactory(PanelFactory)
    position = factory.Sequence(lambda n: n + 1)
    key = factory.Sequence(lambda n: f"gain-{n}")
    label = "Gain"
    kind = Kind.CONTINUOUS
    unit = "dB"
    meaning = Meaning.GAIN
    marks = factory.LazyFunction(
        lambda: [
            {"value": 0, "angle": -150, "label": ""},
            {"value": 30, "angle": 0, "label": ""},
            {"value": 60, "angle": 150, "label": ""},
        ]
    )


class BayFactory(DjangoModelFactory):
    class Meta:
        model = Bay

    name = factory.Sequence(lambda n: f"Bay {n + 1_000_000}")  # sorts by number; none is “Bay 1”


class PatchPointFactory(DjangoModelFactory):
    class Meta:
        model = PatchPoint

    bay = factory.SubFactory(BayFactory)
    row = "A"
    column = factory.Sequence(lambda n: n + 1)
    label = factory.Sequence(lambda n: f"Pre {n + 1} out")
    level = SignalLevel.LINE
    side = Side.SEND
