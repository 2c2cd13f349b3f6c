from django.urls import path

from gear.equipment import views
from gear.equipment.lists import views as lists

app_name = "equipment"
urlpatterns = [
    path("units/", views.unit_list, name="list"),
    path("units/import/", lists.import_units, name="import_units"),
    path("units/new/", views.unit_create, name="unit_create"),
    path("units/<int:pk>/", views.unit_detail, name="unit_detail"),
    path("units/<int:pk>/edit/", views.unit_edit, name="unit_edit"),
    path("units/<int:pk>/faults/new/", views.fault_create, name="fault_create"),
    path("faults/<int:pk>/edit/", views.fault_edit, name="fault_edit"),
    path("models/", views.model_list, name="models"),
    path("models/import/", lists.import_models, name="import_models"),
    path("models/new/", views.model_create, name="model_create"),
    path("models/<int:pk>/", views.model_detail, name="model_detail"),
    path("models/<int:pk>/edit/", views.model_edit, name="model_edit"),
]
