"""Gear to begin with: generic kinds with their controls, as models whose facts are put right later.

What 48 V does to it is stated where the kind says it; a kind that may be either stands with what is
the more careful of the two.
"""

from dataclasses import dataclass

from gear.acting import action
from gear.equipment.models import Category, GearModel, Phantom, Transducer, Unit
from gear.panels.actions import revise_panel
from gear.panels.forms import ControlForm
from gear.panels.generic_kinds import GENERIC_KINDS
from gear.panels.models import Control, Panel
from gear.panels.rows import BLANK

MAKER = "Generic"
NOTE = "A generic kind: put maker, name and facts in as your data sheet states them."


@dataclass(frozen=True)
class Kind:
    """`tag` begins the asset tags of its units."""

    tag: str
    category: Category
    phantom: Phantom = Phantom.HARMLESS
    transducer: str = ""
    own_supply: bool = False
    panel: str = ""  # of GENERIC_KINDS; empty: it has no control that is logged


KINDS = {
    "Condenser microphone": Kind(
        "MIC",
        Category.MICROPHONE,
        Phantom.NEEDED,
        Transducer.CONDENSER,
        panel="Condenser microphone with pad, low cut and pattern switches",
    ),
    "Moving-coil microphone": Kind(
        "MIC", Category.MICROPHONE, Phantom.HARMLESS, Transducer.DYNAMIC
    ),
    "Ribbon microphone": Kind("MIC", Category.MICROPHONE, Phantom.HARMFUL, Transducer.RIBBON),
    "Valve microphone": Kind(
        "MIC", Category.MICROPHONE, Phantom.HARMFUL, Transducer.VALVE, own_supply=True
    ),
    "Valve microphone supply": Kind(
        "SUP", Category.SUPPLY, panel="Valve microphone supply with pattern knob"
    ),
    "DI box": Kind("DI", Category.DI_BOX, panel="DI box with thru, pad and ground lift"),
    "Microphone splitter": Kind("SPL", Category.SPLITTER, panel="Microphone splitter"),
    "Preamplifier": Kind(
        "PRE",
        Category.PREAMPLIFIER,
        panel="Plain preamplifier with pad, phantom power, polarity and low cut",
    ),
    "Preamplifier with equaliser": Kind(
        "PRE", Category.PREAMPLIFIER, panel="Preamplifier with equaliser"
    ),
    "Console channel": Kind(
        "CH", Category.CHANNEL, panel="Console channel with filters, equaliser and dynamics"
    ),
    "Compressor": Kind(
        "COM",
        Category.COMPRESSOR,
        panel="Compressor with threshold, ratio, attack, release and make-up",
    ),
    "Optical compressor": Kind("COM", Category.COMPRESSOR, panel="Optical compressor"),
    "Parametric equaliser": Kind(
        "EQ", Category.EQUALISER, panel="Parametric equaliser of four bands"
    ),
    "Converter": Kind("CON", Category.CONVERTER, panel="Converter"),
    "Headphone amplifier": Kind("HP", Category.HEADPHONES, panel="Headphone amplifier"),
    "Guitar amplifier": Kind("AMP", Category.AMPLIFIER, panel="Guitar amplifier"),
    "Bass amplifier": Kind("AMP", Category.AMPLIFIER, panel="Bass amplifier"),
}


@action
def add_generic(kind: str, *, count: int, by) -> list[Unit]:
    """So many units of the generic kind, each with a tag of its own; the model is made with the first."""
    facts = KINDS[kind]
    model, is_new = GearModel.objects.get_or_create(
        maker=MAKER,
        name=kind,
        defaults={
            "category": facts.category,
            "phantom": facts.phantom,
            "transducer": facts.transducer,
            "own_supply": facts.own_supply,
            "note": NOTE,
        },
    )
    if is_new and facts.panel:
        revise_panel(Panel(model=model), controls=_controls(facts.panel), by=by)
    return [Unit.objects.create(model=model, asset_tag=tag) for tag in _tags(facts.tag, count)]


def _controls(panel: str) -> list[Control]:
    forms = [ControlForm(BLANK | row) for row in GENERIC_KINDS[panel]]
    if not all(form.is_valid() for form in forms):  # it reads the form's cleaned instance
        raise ValueError(f"The generic panel “{panel}” cannot be read.")
    return [form.instance for form in forms]


def _tags(prefix: str, count: int) -> list[str]:
    taken = set(
        Unit.objects.filter(asset_tag__startswith=f"{prefix}-").values_list("asset_tag", flat=True)
    )
    free = (tag for number in range(1, 10_000) if (tag := f"{prefix}-{number:02}") not in taken)
    return [next(free) for _ in range(count)]
