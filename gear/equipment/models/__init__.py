from gear.equipment.models.choices import (
    Category,
    FaultState,
    Phantom,
    SignalLevel,
    Transducer,
    UnitState,
)
from gear.equipment.models.faults import Fault
from gear.equipment.models.gear_models import GearModel
from gear.equipment.models.units import Unit, check_channel
