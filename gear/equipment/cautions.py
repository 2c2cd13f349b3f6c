"""Where equipment can hurt someone or be hurt: the usual cautions of the trade."""

from dataclasses import dataclass

from gear.equipment.models import Category, GearModel, Phantom


@dataclass(frozen=True)
class Caution:
    title: str
    text: str


HIGH_VOLTAGE = Caution(
    "high voltage",
    "Switch the supply off and let it settle before its cable is plugged or unplugged. "
    "Repair is for licensed people.",
)
PHANTOM_NEEDED = Caution(
    "phantom power",
    "Plug the cable in first, turn headphones and monitors down, then switch phantom power on. "
    "Switch it off and let it die away before unplugging.",
)
PHANTOM_HARMFUL = Caution(
    "phantom power",
    "Keep phantom power off: it can damage this. Switch it off and let it die away before "
    "this is plugged in, and do not bring it through a patch bay that may carry it.",
)
HEADPHONES = Caution(
    "loudness",
    "Turn the level down before headphones go on, and keep it no louder or longer than the ears "
    "allow.",
)
BENCH = Caution(
    "mains and stored charge",
    "Pull the mains plug before a unit leaves its rack, and do not open it: charge stays inside. "
    "Repair is for licensed people.",
)
PATCHING = Caution(
    "loudness and phantom power",
    "Turn monitors and headphones down before you patch. Switch phantom power off and let it die "
    "away before a microphone line is plugged or unplugged.",
)


def cautions_for(model: GearModel) -> list[Caution]:
    """The cautions that belong on every page of such equipment, the gravest first."""
    cautions = []
    if model.category == Category.SUPPLY or model.needs_supply:
        cautions.append(HIGH_VOLTAGE)
    if model.phantom == Phantom.NEEDED:
        cautions.append(PHANTOM_NEEDED)
    elif model.phantom == Phantom.HARMFUL:
        cautions.append(PHANTOM_HARMFUL)
    if model.category == Category.HEADPHONES:
        cautions.append(HEADPHONES)
    return cautions
