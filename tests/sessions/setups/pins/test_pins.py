"""Controls that are changed from the tracking page."""

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from sessions.setups.chains.actions import Seen, fix_revision, move_stage
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Chain, Stage
from sessions.setups.pins.actions import pin_control
from sessions.setups.pins.pinned import pinned_controls
from tests.factories import ControlFactory
from tests.sessions.setups.building import compressor, loaded, microphone, preamplifier, revision_of

pytestmark = pytest.mark.django_db
HTMX = {"headers": {"HX-Request": "true"}}


@pytest.fixture
def revision():
    """Microphone → preamplifier (gain 35 dB) → compressor (ratio 4:1)."""
    revision = revision_of(microphone(), preamplifier(), compressor())
    Stage.objects.filter(revision=revision, position=2).update(settings={"gain": 35})
    Stage.objects.filter(revision=revision, position=3).update(settings={"ratio": 4})
    return loaded(revision)


def key_of(revision, position):
    keys = stage_keys(revision.stages.all())
    return next(key for key, stage in keys.items() if stage.position == position)


def pin(revision, control, *, at, by, pinned=True):
    pin_control(revision.chain, stage=key_of(revision, at), control=control, pinned=pinned, by=by)


def newest(revision):
    return loaded(revision.chain.revisions.newest().get())


def shown(revision):
    return [
        (each.stage.position, each.control.key, each.was)
        for each in pinned_controls([newest(revision)])
    ]


def test_pinned_controls_stand_in_signal_order(revision, engineer):
    pin(revision, "ratio", at=3, by=engineer)
    pin(revision, "gain", at=2, by=engineer)
    pin(revision, "gain", at=2, by=engineer)  # pressed twice

    assert shown(revision) == [(2, "gain", "35 dB"), (3, "ratio", "4:1")]

    pin(revision, "ratio", at=3, by=engineer, pinned=False)
    assert shown(revision) == [(2, "gain", "35 dB")]


def test_pin_follows_its_unit_into_the_next_revision(revision, engineer):
    pin(revision, "gain", at=2, by=engineer)
    fix_revision(revision)

    stage = revision.stages.get(position=2)
    move_stage(stage, seen=Seen.of(newest(revision)), by=engineer, towards_source=True)

    assert newest(revision).number == 2
    assert shown(revision) == [(1, "gain", "35 dB")]


def test_one_press_lower_and_higher(revision, engineer):
    pin(revision, "gain", at=2, by=engineer)
    pin(revision, "ratio", at=3, by=engineer)

    gain, ratio = pinned_controls([newest(revision)])

    assert (gain.lower, gain.higher) == ("34 dB", "36 dB")
    assert (ratio.lower, ratio.higher, ratio.marks) == ("2:1", "", ["2:1", "4:1"])


def test_page_of_settings_pins_and_unpins(revision, client_of, engineer):
    address = reverse("setups:pin", args=[revision.chain_id])
    named = f"{key_of(revision, 2)}.gain"

    answer = client_of(engineer).post(address, {"pin": named}, **HTMX)
    assert 'name="unpin"' in answer.text
    assert Chain.objects.get().pinned == [[key_of(revision, 2), "gain"]]

    page = reverse("editor:chain", args=[revision.chain_id])
    assert client_of(engineer).post(address, {"unpin": named}).url == page
    assert Chain.objects.get().pinned == []


def test_pin_of_what_is_not_in_the_chain_is_refused_in_words(revision, client_of, engineer):
    address = reverse("setups:pin", args=[revision.chain_id])

    client_of(engineer).post(address, {"pin": "0.gain"})

    assert Chain.objects.get().pinned == []


def press(web, revision, value, *, was="35 dB", control="gain", at=2, **more):
    sent = {"stage": key_of(revision, at), "name": f"control-{control}", "value": value, "was": was}
    return web.post(reverse("setups:set_pinned", args=[revision.chain_id]), sent | more, **HTMX)


def test_value_is_set_and_the_control_comes_back_as_it_stands(revision, client_of, engineer):
    answer = press(client_of(engineer), revision, "36 dB")

    assert answer.context["each"].was == "36 dB"
    stage = revision.stages.get(position=2)
    assert (stage.settings, stage.history.latest().history_user) == ({"gain": 36}, engineer)


def test_fixed_revision_gets_its_next(revision, client_of, engineer):
    fix_revision(revision)

    press(client_of(engineer), revision, "36 dB")

    assert newest(revision).number == 2
    assert [
        newest(revision).stages.all()[1].settings,
        revision.stages.get(position=2).settings,
    ] == [
        {"gain": 36},
        {"gain": 35},
    ]


def test_copied_control_is_set_by_its_own_value(revision, client_of, engineer):
    Stage.objects.filter(revision=revision, position=2).update(not_yet_set=["gain"])
    pin(revision, "gain", at=2, by=engineer)
    assert pinned_controls([newest(revision)])[0].is_copied

    answer = press(client_of(engineer), revision, "35 dB")

    assert not answer.context["each"].is_copied


def test_what_somebody_else_set_meanwhile_stands_beside_it(revision, client_of, engineer):
    press(client_of(engineer), revision, "40 dB")

    answer = press(client_of(engineer), revision, "36 dB")

    assert answer.status_code == 422
    assert (answer.context["theirs"], answer.context["typed"]) == ("Ulric Yarrell", "36 dB")
    assert newest(revision).stages.all()[1].settings == {"gain": 40}
    press(client_of(engineer), revision, "36 dB", was="40 dB")
    assert newest(revision).stages.all()[1].settings == {"gain": 36}


def test_phantom_power_that_does_damage_is_asked_about_first(client_of, engineer):
    revision = revision_of(microphone(phantom="harmful"), preamplifier())
    asked = {"control": "p48", "was": ""}

    answer = press(client_of(engineer), revision, "on", **asked)

    assert (answer.status_code, answer.context["asks"]) == (422, True)
    assert newest(revision).stages.all()[1].settings == {}
    press(client_of(engineer), revision, "on", **asked, is_sure="1")
    assert newest(revision).stages.all()[1].settings == {"p48": 1}


def test_value_that_is_none_is_said_and_stays_typed(revision, client_of, engineer):
    answer = press(client_of(engineer), revision, "loud")

    assert (answer.status_code, answer.context["typed"]) == (422, "loud")
    assert "“loud” is not understood here" in answer.text


def test_without_scripts_it_leads_back_to_the_page(revision, client_of, engineer):
    sent = {"stage": key_of(revision, 2), "name": "control-gain", "value": "36 dB", "was": "35 dB"}
    address = reverse("setups:set_pinned", args=[revision.chain_id])

    saved = client_of(engineer).post(address, sent | {"next": "/sessions/1/takes/"})
    refused = client_of(engineer).post(address, sent | {"value": "loud"})

    assert (saved.url, refused.status_code) == ("/sessions/1/takes/", 422)


def test_pinned_controls_cost_no_query(revision, engineer, rf, django_assert_num_queries):
    ControlFactory(panel=revision.stages.all()[1].panel, key="trim", label="Trim")
    for control in ("gain", "trim"):
        pin(revision, control, at=2, by=engineer)
    shown, request = newest(revision), rf.get("/")
    request.user = engineer

    with django_assert_num_queries(0):
        pinned = pinned_controls([shown])
        page = render_to_string("sessions/takes/_pinned.html", {"pinned": pinned}, request)

    assert page.count('class="pinned"') == 2
