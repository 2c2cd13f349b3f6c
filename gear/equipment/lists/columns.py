"""The columns of the lists of models and of units."""

from gear.equipment.models import GearModel, Unit
from gear.lists.columns import columns_of
from gear.tables import Columns

MODEL_COLUMNS = columns_of(
    GearModel,
    {
        "maker": "",
        "name": "model",
        "category": "",
        "transducer": "",
        "phantom": "",
        "own_supply": "own supply",
        "warm_up_minutes": "warm-up min",
        "channels": "",
        "phantom_bank": "",
        "input_level": "",
        "output_level": "",
        "nominal_level_dbu": "",
        "max_input_dbu": "",
        "max_output_dbu": "",
        "sensitivity_mv_pa": "",
        "self_noise_dba": "",
        "max_spl_db": "",
        "output_impedance_ohm": "",
        "equivalent_input_noise_dbu": "",
        "delay_samples": "",
        "note": "",
    },
)
#: Beside these a line for a unit names its model, by maker and model, and its supply, by tag.
UNIT_COLUMNS = columns_of(
    Unit,
    {
        "asset_tag": "tag",
        "serial_number": "",
        "state": "",
        "home_room": "room",
        "rack": "",
        "slot": "",
        "note": "",
    },
)
MODEL_CELLS: Columns = {column.heading: column.value for column in MODEL_COLUMNS}
_TAG, *_BETWEEN, _NOTE = UNIT_COLUMNS
#: Reads unit.model and unit.supply; load the units `for_list`.
UNIT_CELLS: Columns = {
    _TAG.heading: _TAG.value,
    "maker": lambda unit: unit.model.maker,
    "model": lambda unit: unit.model.name,
    **{column.heading: column.value for column in _BETWEEN},
    "supply": lambda unit: unit.supply.asset_tag if unit.supply else None,
    _NOTE.heading: _NOTE.value,
}
MODEL_HEAD, UNIT_HEAD = list(MODEL_CELLS), list(UNIT_CELLS)
