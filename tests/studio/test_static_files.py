from django.core.files.storage import storages
from django.shortcuts import render
from django.test import RequestFactory, override_settings

NOT_COLLECTED = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "studio.static_files.StaticFiles",
        "OPTIONS": {"location": "/nowhere-at-all"},
    },
}


@override_settings(STORAGES=NOT_COLLECTED, DEBUG=False)
def test_error_page_works_where_static_files_were_never_collected():
    assert storages["staticfiles"].location == "/nowhere-at-all"

    page = render(RequestFactory().get("/"), "500.html")

    assert "Something went wrong on our side" in page.text
    assert "/static/studio/css/base.css" in page.text
