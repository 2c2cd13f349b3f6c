"""Every form of every page is pressed twice, and happens once."""

import pytest
from django.apps import apps
from django.db import transaction
from django.urls import resolve
from lxml import html

from sessions.editing.presses import FIELD
from studio.access import PAGES, PUBLIC
from tests.factories import PASSWORD, ProjectFactory
from tests.studio.every_page import address, rows_of

pytestmark = pytest.mark.django_db

MAKES_NOTHING = {"login", "logout", "theme", "keys"}
# What a form needs beside something in each required field; {room} is the key of that row.
TYPED = {
    "sign_in_invite": {"name": "Neap", "email": ""},
    "password": {"old_password": PASSWORD, "new_password1": "four more steps"}
    | {"new_password2": "four more steps"},
    "second_factor": {"password": PASSWORD},
    "bookings:create": {"rooms": "{room}"},
    "bookings:edit": {"rooms": "{room}", "lockout": "on"},
    "rebuild:units": {"day": "2030-05-06"},
    "rebuild:finish": {"session": "{session}"},
    "bookings:credit_create": {"person": "{performer}", "instrument": "Concertina"},
    "musicians:attendance_create": {"person": "{performer}"},
    "blocks:create": {"kind": "leave", "rooms": "{room}"},
    "blocks:edit": {"rooms": "{room}"},
    "gear_sets:create": {"units": "{unit}"},
    "terms:rate_create": {"basis": "day"},
    "invoices:create": {"other-0-what": "A disk", "other-0-net": "60"},
    "setups:setup_copy": {"name": "Neap"},
    "comp:split": {"after": "1"},
    "deliveries:approve": {"name": "Neap", "email": "neap@ford.example"},
    "editor:add": {"unit": "{tag}"},
    "media:tell": {"otherwise": "by telephone"},
    "listening:verdict": {"choice": "approved"},
    "listening:bar_one": {"time": "0:02"},
    "bookings:summary": {"others": "neap@ford.example"},
    "proving:measure_unit": {"fed_dbu": "1"},
}
# Nothing is made at once: these show something first, want a file, or find nothing to choose here.
NOT_FOLLOWED = {"style", "series:repeat", "panels:edit"}
NOT_FOLLOWED |= {"equipment:import_units", "equipment:import_models"}
NOT_FOLLOWED |= {"clients:import_clients", "clients:import_people", "calendar_import:page"}
NOT_FOLLOWED |= {"imported:list", "setups:photo_take", "take_files:add", "rooms:logo"}
NOT_FOLLOWED |= {"schedule:move"}  # planned hours without a lockout; test_moving_pages presses it
NOT_FOLLOWED |= {"bookings:hours_edit", "money:issue", "patchbay:normals", "setups:stage_swap"}


def forms_of(client, rows):
    """Every form that is posted, once for each page that it goes to: page, address and fields."""
    forms = []
    for page in [page for page, roles in PAGES.items() if roles is not PUBLIC]:
        asked = address(page, rows)
        answer = client.get(asked)
        if answer.streaming:
            b"".join(answer.streaming_content)  # read to its end, a file is closed
        elif answer.status_code == 200 and "text/html" in answer["Content-Type"]:
            forms += [(asked, form) for form in html.fromstring(answer.content).forms]
    found = {}
    for asked, form in forms:
        action = form.action or asked
        to = resolve(action.partition("?")[0]).view_name
        if form.method == "POST" and to not in MAKES_NOTHING:
            found.setdefault(to, (action, form))
    return found


def sent(form) -> dict:
    """What a browser sends of it, with something in every field that must be filled in."""
    values = {}
    for name, value in form.form_values():
        values.setdefault(name, []).append(value)
    for field in form.inputs:
        filled = any((value or "").strip() for value in values.get(field.name, []))
        if field.name and field.get("required") is not None and not filled:
            values[field.name] = [something_for(field)]
    for button in form.xpath(".//button[@type='submit' or not(@type)]")[:1]:
        if button.get("name"):
            values[button.get("name")] = [button.get("value")]
    return values


def something_for(field) -> str:
    if field.tag == "select":
        return next((option for option in field.value_options if option), "")
    if field.get("inputmode") == "decimal":
        return "1"
    kinds = {"number": "1", "email": "neap@ford.example"}
    if field.get("type") == "datetime-local":
        return "2030-05-06T12:00" if "end" in field.name else "2030-05-06T10:00"
    return kinds.get(field.get("type"), "Neap and Spring")


def count_rows() -> dict[str, int]:
    return {
        model._meta.label: model.objects.count()
        for label in ("gear", "studio_sessions", "studio")
        for model in apps.get_app_config(label).get_models()
    }


def test_every_form_carries_a_number_and_happens_once(client_of, manager):
    rows = rows_of(ProjectFactory())
    forms = forms_of(client_of(manager), rows)
    facts = {"room": rows["room"].pk, "tag": rows["unit"].asset_tag}
    facts |= {"unit": rows["unit"].pk}
    facts |= {"session": rows["session"].pk, "performer": rows["credit"].person_id}
    without, refused, twice = set(), set(), set()
    for page, (action, form) in forms.items():
        fields = sent(form)
        fields |= {name: text.format(**facts) for name, text in TYPED.get(page, {}).items()}
        if not fields.get(FIELD):
            without.add(page)
        with transaction.atomic():
            client = client_of(manager)  # anew: one of the forms changes the password
            first, made = client.post(action, fields), count_rows()
            second = client.post(action, fields)
            if first.status_code != 302:
                refused.add(page)
            elif second.url != first.url or count_rows() != made:
                twice.add(page)
            transaction.set_rollback(True)

    assert (without, refused, twice) == (set(), NOT_FOLLOWED, set())
    assert len(forms) > 80
