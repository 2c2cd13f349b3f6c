"""Units and models come in by list."""

from django.http import HttpRequest, HttpResponse

from gear.equipment.lists.columns import MODEL_HEAD, UNIT_HEAD
from gear.equipment.lists.models_list import plan_models
from gear.equipment.lists.units_list import plan_units
from gear.lists.views import Listed, import_page

CHOICES = "Write category, state and phantom power as the pages show them."
UNITS = Listed(
    "unit",
    "units",
    UNIT_HEAD,
    plan_units,
    "Gear",
    "equipment:list",
    (
        "A unit is known by its tag. Its model is given by maker and model and must exist already; "
        "its supply is given by that supply’s tag.",
        CHOICES,
    ),
)
MODELS = Listed(
    "model",
    "models",
    MODEL_HEAD,
    plan_models,
    "Models",
    "equipment:models",
    (
        "A model is known by its maker and its name. Write figures without their unit, with a point "
        "before decimals; the unit stands in the first line. Controls are described on the model’s "
        "page.",
        CHOICES,
    ),
)


def import_units(request: HttpRequest) -> HttpResponse:
    return import_page(request, UNITS)


def import_models(request: HttpRequest) -> HttpResponse:
    return import_page(request, MODELS)
