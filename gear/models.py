"""Django looks for models only here; code imports them from their folder."""

# ruff: noqa: F401
from gear.equipment import models as equipment
from gear.panels import models as panels
from gear.patchbay import models as patchbay
