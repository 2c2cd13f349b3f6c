import re
from html import unescape

import pytest
from django.urls import reverse

from gear.patchbay.models import Side
from sessions.setups.chains.actions import Seen, change_stage, fix_revision, remove_stage
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Revision, Stage
from tests.factories import (
    ChainFactory,
    ControlFactory,
    PanelFactory,
    PatchPointFactory,
    ReservationFactory,
    RevisionFactory,
    StageFactory,
)
from tests.sessions.setups.building import compressor, loaded, microphone, preamplifier, revision_of

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"editor:{name}", args=[thing.pk])


def key_of(stage):
    return next(
        key for key, each in stage_keys(stage.revision.stages.all()).items() if each.pk == stage.pk
    )


def send(client, stage, name, value, was="", seen=""):
    return client.post(
        page("field", stage.revision.chain),
        {"stage": key_of(stage), "name": name, "value": value, "was": was, "seen": seen},
    )


def test_all_stages_stand_on_one_page_in_signal_order(client_of, engineer):
    revision = revision_of(microphone(), preamplifier(), compressor())

    html = client_of(engineer).get(page("chain", revision.chain)).content.decode()

    keys = stage_keys(revision.stages.all())
    names = [
        f'name="c{revision.chain_id}u{key}-{name}"'
        for key, stage in keys.items()
        for name in [
            "path",
            "patch_in",
            *[f"control-{control.key}" for control in stage.controls()],
            "patch_out",
            "note",
        ]
    ]
    places = [html.index(name) for name in names]
    assert places == sorted(places)
    assert len(places) == 3 * 4 + 4
    assert "tabindex" not in re.sub(r'<main[^>]*>|tabindex="-1"', "", html)


@pytest.mark.parametrize(
    ("typed", "value", "shown", "words"),
    [
        ("1 o'clock", 36, "36 dB", "1:00"),
        ("13:30", 39, "39 dB", "1:30"),
        ("45", 45, "45 dB", "2:30"),
    ],
)
def test_field_is_saved_and_answered_in_canonical_form(
    client_of, engineer, typed, value, shown, words
):
    stage = revision_of(preamplifier()).stages.get()

    answer = send(client_of(engineer), stage, "control-gain", typed)

    stage.refresh_from_db()
    assert (answer.status_code, stage.settings) == (200, {"gain": value})
    told = answer.json()
    assert (told["value"], told["words"]) == (shown, words)
    assert f"Gain: {shown}" in unescape(told["drawing"])
    assert told["seen"] == str(Seen.of(Revision.objects.get(pk=stage.revision_id)))
    assert "1 of 2 controls logged, 50 %" in told["state"]
    assert told["warnings"].startswith("<h3>Warnings</h3>")


def test_nonsense_is_refused_with_what_would_be_understood(client_of, engineer):
    stage = revision_of(preamplifier()).stages.get()

    answer = send(client_of(engineer), stage, "control-gain", "loud")

    assert answer.status_code == 422
    assert (
        "“loud” is not understood here. Write a value from 0 dB to 60 dB"
        in answer.json()["problem"]
    )
    assert Stage.objects.get(pk=stage.pk).settings == {}


@pytest.mark.parametrize("called", ["Bay 1 A1 Pre 1 out", "bay 1 a1", "a1", "pre 1 OUT"])
def test_patch_point_is_known_by_place_or_label(client_of, engineer, called):
    stage = revision_of(preamplifier()).stages.get()
    point = PatchPointFactory(bay__name="Bay 1", row="A", column=1, label="Pre 1 out")
    PatchPointFactory(bay=point.bay, row="A", column=2, label="Pre 2 out")

    answer = send(client_of(engineer), stage, "patch_out", called)

    assert answer.json()["value"] == "Bay 1 A1 Pre 1 out"
    assert Stage.objects.get(pk=stage.pk).patch_out == point


@pytest.mark.parametrize(
    ("called", "problem"), [("A1", "may be Bay 1 A1"), ("Z9", "No patch point is called “Z9”")]
)
def test_patch_point_that_is_none_or_several_is_refused(client_of, engineer, called, problem):
    stage = revision_of(preamplifier()).stages.get()
    for bay in ("Bay 1", "Bay 2"):
        PatchPointFactory(bay__name=bay, row="A", column=1)

    answer = send(client_of(engineer), stage, "patch_in", called)

    assert answer.status_code == 422
    assert problem in answer.json()["problem"]


def test_fixed_revision_is_followed_by_the_next(client_of, engineer):
    revision = revision_of(preamplifier())
    fix_revision(revision)

    answer = send(client_of(engineer), revision.stages.get(), "control-gain", "35")

    assert "Revision 2" in answer.json()["state"]
    assert [each.stages.get().settings for each in revision.chain.revisions.all()] == [
        {},
        {"gain": 35},
    ]


def test_second_editor_of_a_field_is_told_what_is_saved_and_by_whom(client_of, engineer, assistant):
    stage = revision_of(preamplifier()).stages.get()
    client = client_of(assistant)
    send(client, stage, "control-gain", "40")

    second = send(client_of(engineer), stage, "control-gain", "50", was="")

    assert second.status_code == 409
    assert (second.json()["value"], second.json()["who"]) == ("40 dB", str(assistant))
    assert Stage.objects.get(pk=stage.pk).settings == {"gain": 40}
    chosen = send(client_of(engineer), stage, "control-gain", "50", was="40 dB")
    assert chosen.json()["value"] == "50 dB"


def test_answer_says_that_others_changed_the_chain(client_of, engineer, assistant):
    revision = revision_of(preamplifier(), compressor())
    first, second = revision.stages.all()
    seen = str(Seen.of(revision))

    own = send(client_of(engineer), first, "control-gain", "40", seen=seen).json()
    send(client_of(assistant), second, "control-ratio", "4:1")
    after = send(client_of(engineer), first, "control-gain", "41", was="40 dB", seen=own["seen"])

    assert (own["others"], after.json()["others"]) == (False, True)


def test_stage_that_is_gone_says_so(client_of, engineer):
    revision = revision_of(preamplifier())
    stage = revision.stages.get()
    sent = {"stage": key_of(stage), "name": "control-gain", "value": "40", "was": ""}
    remove_stage(stage, seen=Seen.of(revision), by=engineer)

    answer = client_of(engineer).post(page("field", revision.chain), sent)

    assert (answer.status_code, answer.json()["gone"]) == (409, True)


def test_unknown_field_is_refused(client_of, engineer):
    stage = revision_of(preamplifier()).stages.get()

    assert send(client_of(engineer), stage, "control-loudness", "11").status_code == 422


def plain(revision, **changes):
    """All fields of the page as a form without a script sends them; `p48="on"` changes one."""
    sent = {f"c{revision.chain_id}-seen": str(Seen.of(revision))}
    for key, stage in stage_keys(revision.stages.all()).items():
        prefix = f"c{revision.chain_id}u{key}-"
        sent |= {f"{prefix}path": stage.path, f"{prefix}note": stage.note}
        for control in stage.controls():
            sent[f"{prefix}control-{control.key}"] = changes.get(
                control.key, stage.settings.get(control.key, "")
            )
    return sent


def test_page_is_saved_without_a_script_too(client_of, engineer):
    revision = revision_of(preamplifier(), compressor())
    address = page("chain", revision.chain)

    answer = client_of(engineer).post(address, plain(revision, gain="35", p48="on", ratio="4:1"))

    assert answer.url == address
    assert [stage.settings for stage in revision.stages.all().order_by("position")] == [
        {"gain": 35, "p48": 1},
        {"ratio": 4},
    ]


def test_without_a_script_nonsense_is_refused_beside_its_field_and_nothing_is_lost(
    client_of, engineer
):
    revision = revision_of(preamplifier(), compressor())

    answer = client_of(engineer).post(
        page("chain", revision.chain), plain(revision, gain="loud", ratio="4:1")
    )

    html = unescape(answer.content.decode())
    assert "“loud” is not understood here" in html
    assert 'value="loud"' in html
    assert 'value="4:1"' in html
    assert not Stage.objects.exclude(settings={}).exists()


def test_without_a_script_the_second_editor_gets_both_versions(client_of, engineer, assistant):
    revision = revision_of(preamplifier())
    sent = plain(revision, gain="50")
    stage = revision.stages.get()
    change_stage(stage, seen=Seen.of(revision), by=assistant, settings={"gain": 40})
    client = client_of(engineer)

    second = client.post(page("chain", revision.chain), sent)

    assert second.status_code == 409
    assert second.context["rows"] == [(stage.unit, "Gain", "40 dB", "50")]
    assert Stage.objects.get(pk=stage.pk).settings == {"gain": 40}
    again = plain(loaded(revision), gain="50")
    assert client.post(page("chain", revision.chain), again).status_code == 302


@pytest.mark.parametrize("count", [1, 3])
def test_page_of_a_setup_costs_the_same_queries(
    client_of, engineer, django_assert_num_queries, count
):
    setup = ChainFactory().setup
    RevisionFactory(chain=setup.chains.get())
    for _ in range(count):
        revision = RevisionFactory(chain=ChainFactory(setup=setup))
        for _ in range(count):
            stage = StageFactory(revision=revision, patch_in=PatchPointFactory(side=Side.RETURN))
            ControlFactory(panel=stage.panel)
    client = client_of(engineer)

    with django_assert_num_queries(13):
        html = client.get(page("setup", setup)).content.decode()

    assert html.count('data-name="control-') == count * count


def test_unit_is_added_by_its_tag_and_its_first_control_is_ready(client_of, engineer):
    revision, pre = revision_of(microphone()), preamplifier()
    wired = PatchPointFactory(unit=pre, side=Side.RETURN)
    client = client_of(engineer)

    answer = client.post(page("add", revision.chain), {"unit": pre.asset_tag.lower()})

    added = Stage.objects.get(unit=pre)
    assert (added.position, added.path, added.settings) == (2, "printed", {})
    assert (added.patch_in, added.patch_out, added.panel) == (wired, None, pre.model.panels.get())
    assert answer.url == f"{page('chain', revision.chain)}?focus={pre.pk}"
    [focused] = re.findall(r"<input[^>]* autofocus[^>]*>", client.get(answer.url).content.decode())
    assert f'name="c{revision.chain_id}u{pre.pk}-control-gain"' in focused


def test_unit_is_added_on_the_current_version_of_its_panel(client_of, engineer):
    revision, pre = revision_of(microphone()), preamplifier()
    newer = PanelFactory(model=pre.model, version=2)

    client_of(engineer).post(page("add", revision.chain), {"unit": pre.asset_tag})

    assert Stage.objects.get(unit=pre).panel == newer


def test_unit_that_another_session_has_is_refused_with_who_has_it(client_of, engineer):
    revision, pre = revision_of(microphone()), preamplifier()
    ReservationFactory(room=None, unit=pre, session__title="Readings")

    answer = client_of(engineer).post(page("add", revision.chain), {"unit": pre.asset_tag})

    html = unescape(answer.content.decode())
    assert answer.status_code == 422
    assert html.count("is taken by “Readings”") >= 2  # beside the field, and in the list
    assert revision.stages.count() == 1


def test_adding_to_a_fixed_revision_makes_the_next(client_of, engineer):
    revision, pre = revision_of(microphone()), preamplifier()
    fix_revision(revision)

    client_of(engineer).post(page("add", revision.chain), {"unit": str(pre)})

    assert [each.stages.count() for each in revision.chain.revisions.all()] == [1, 2]


@pytest.mark.parametrize("count", [1, 3])
def test_page_of_a_chain_costs_the_same_queries(
    client_of, engineer, django_assert_num_queries, count
):
    revision = RevisionFactory()
    for _ in range(count):
        StageFactory(revision=revision)
        ReservationFactory(session=revision.chain.setup.session, room=None, unit=preamplifier())
        ReservationFactory(room=None, unit=preamplifier())
    client = client_of(engineer)

    with django_assert_num_queries(16):
        html = client.get(page("chain", revision.chain)).content.decode()

    assert html.count("<option") >= 2 * count
