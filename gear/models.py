"""Django looks for models only here; code imports them from their folder."""

from gear.equipment.models import Fault, GearModel, Unit
from gear.panels.models import Control, Panel
from gear.patchbay.models import Bay, Normal, PatchPoint, TieLine

__all__ = [
    "Bay",
    "Control",
    "Fault",
    "GearModel",
    "Normal",
    "Panel",
    "PatchPoint",
    "TieLine",
    "Unit",
]
