from django.urls import path, register_converter
from django.urls.converters import StringConverter

from gear.patchbay import views


class RowConverter(StringConverter):
    """The name of a row: letters and figures, as many as the database takes."""

    regex = "[A-Za-z0-9]{1,4}"


register_converter(RowConverter, "row")

app_name = "patchbay"
urlpatterns = [
    path("patch-bays/", views.bay_list, name="list"),
    path("patch-bays/new/", views.bay_create, name="bay_create"),
    path("patch-bays/<int:pk>/", views.bay_detail, name="bay_detail"),
    path("patch-bays/<int:pk>/edit/", views.bay_edit, name="bay_edit"),
    path("patch-bays/<int:pk>/rows/<row:row>/", views.row_edit, name="row_edit"),
    path("patch-bays/<int:pk>/normals/", views.normals, name="normals"),
]
