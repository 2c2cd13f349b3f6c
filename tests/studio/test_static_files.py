import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import storages
from django.shortcuts import render
from django.test import RequestFactory, override_settings

from studio.static_files import StaticFiles

NOT_COLLECTED = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "studio.static_files.StaticFiles",
        "OPTIONS": {"location": "/nowhere-at-all"},
    },
}


@pytest.mark.django_db  # the studio's name, where a database answers
@override_settings(STORAGES=NOT_COLLECTED, DEBUG=False)
def test_error_page_works_where_static_files_were_never_collected():
    assert storages["staticfiles"].location == "/nowhere-at-all"

    page = render(RequestFactory().get("/"), "500.html")

    assert "Something went wrong on our side" in page.text
    assert "/static/studio/css/base.css" in page.text


def test_modules_import_each_other_by_the_names_of_their_contents(tmp_path):
    files = StaticFiles(location=tmp_path, base_url="/static/")
    queue, store = "studio/js/queue.js", "studio/js/store.js"
    files.save(queue, ContentFile('import { openStore } from "./store.js";'))
    files.save(store, ContentFile("export function openStore() {}"))

    found = {name: (files, name) for name in (queue, store)}
    named = {name: by_content for name, by_content, _ in files.post_process(found)}

    of_store = named[store].removeprefix("studio/js/")
    assert of_store != "store.js"
    assert (tmp_path / named[queue]).read_text() == f'import {{ openStore }} from "./{of_store}";'
