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
PHANTOM_CLASH = Caution(
    "phantom power",
    "Leave phantom power off: it was on or is needed here, and can damage another unit that "
    "it reaches. Choose another unit for one of the two.",
)
LIFTING = Caution(
    "lifting",
    "The makers’ instructions and local rules come first. A cable is no safety line: what hangs or is "
    "heavy is held by a locking mount on a counterweighted stand, with a separate safety line rated for "
    "the load, and nobody stands beneath.",
)
AMPLIFIER = Caution(
    "mains, high voltage and lifting",
    "Connect the loudspeaker before an amplifier is switched on: one with valves is never run without "
    "its load. Turn it down before a cable is moved, leave its mains earth as it is, and do not lift it "
    "alone. Repair is for licensed people; the maker’s instructions and local rules come first.",
)
GROUND_LIFT = Caution(
    "mains earth",
    "A ground lift opens the screen of the signal and nothing else: never lift the safety earth of "
    "anything that is plugged into the mains. The maker’s instructions and local rules come first.",
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


def cautions_for(
    model: GearModel, *, gives_phantom: bool = False, is_harmful: bool = False
) -> list[Caution]:
    """The cautions that belong with such equipment, the gravest first.

    In a chain: gives_phantom, whether its phantom power is or was on; is_harmful, whether that can
    damage a unit of the chain.
    """
    cautions = []
    if model.category == Category.SUPPLY or model.needs_supply:
        cautions.append(HIGH_VOLTAGE)
    if model.phantom_need == Phantom.HARMFUL:
        cautions.append(PHANTOM_HARMFUL)
    elif gives_phantom or model.phantom_need == Phantom.NEEDED:
        cautions.append(PHANTOM_CLASH if is_harmful else PHANTOM_NEEDED)
    if model.category in (Category.DI_BOX, Category.SPLITTER):
        cautions.append(GROUND_LIFT)
    if model.category == Category.AMPLIFIER:
        cautions.append(AMPLIFIER)
    if model.category == Category.HEADPHONES:
        cautions.append(HEADPHONES)
    return cautions
