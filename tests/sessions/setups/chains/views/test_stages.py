from html import unescape

import pytest
from django.urls import reverse

from gear.equipment.models import UnitState
from gear.panels.models import Kind, Meaning, Scale
from gear.patchbay.models import Side
from sessions.setups.chains.actions import Seen, change_stage, fix_revision, remove_stage
from sessions.setups.models import Stage
from sessions.setups.models.photos import Subject
from tests.factories import (
    ControlFactory,
    PanelFactory,
    PatchPointFactory,
    PhotoFactory,
    UnitFactory,
)
from tests.sessions.setups.building import (
    microphone,
    preamplifier,
    revision_of,
    units_in,
)

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"setups:{name}", args=[thing.pk])


def typed(revision, **facts):
    """The form of a stage as it is sent; `gain=` and the like are controls."""
    fields = {"path": "printed", "patch_in": "", "patch_out": "", "cord_cm": "", "note": ""}
    controls = {f"control-{key}": value for key, value in facts.items() if key not in fields}
    return (
        fields
        | {key: facts[key] for key in fields if key in facts}
        | controls
        | {"seen": str(Seen.of(revision))}
    )


def test_points_wired_to_the_unit_come_first(client_of, engineer):
    revision = revision_of(preamplifier())
    stage = revision.stages.get()
    other = PatchPointFactory()
    wired_in = PatchPointFactory(unit=stage.unit, side=Side.RETURN)
    wired_out = PatchPointFactory(unit=stage.unit, side=Side.SEND)

    form = client_of(engineer).get(page("stage_edit", stage)).context["form"]

    _, first, *others = form.fields["patch_in"].choices
    assert first == ("Wired to this unit", [(wired_in.pk, str(wired_in))])
    assert {pk for _, points in others for pk, _ in points} == {other.pk, wired_out.pk}


def test_length_of_the_cord_that_leads_on_is_logged_with_the_unit(client_of, engineer):
    revision = revision_of(preamplifier())
    stage = revision.stages.get()
    client = client_of(engineer)

    client.post(page("stage_edit", stage), typed(revision, cord_cm="60"))
    stage.refresh_from_db()
    assert stage.cord_cm == 60

    revision.refresh_from_db()
    refused = client.post(page("stage_edit", stage), typed(revision, cord_cm="0"))
    assert refused.context["form"].errors["cord_cm"]
    stage.refresh_from_db()
    assert stage.cord_cm == 60


def every_kind():
    """A unit with one control of each kind of value that is typed."""
    unit = UnitFactory()
    panel = PanelFactory(model=unit.model)
    angles = (-150, 0, 150)

    def control(key, values, labels=("", "", ""), **facts):
        marks = [
            {"value": value, "angle": angle, "label": label}
            for value, angle, label in zip(values, angles, labels, strict=True)
        ]
        ControlFactory(panel=panel, key=key, label=key, marks=marks, **facts)

    control("frequency", (200, 2000, 8000), unit="Hz", scale=Scale.LOG)
    control("gain", (0, 30, 60))
    control("level", (-20, 0, 20))
    control(
        "ratio",
        (2, 4, 8),
        ("2:1", "4:1", "8:1"),
        kind=Kind.STEPPED,
        unit=":1",
        meaning=Meaning.RATIO,
    )
    ControlFactory(
        panel=panel,
        key="pad",
        label="pad",
        kind=Kind.SWITCH,
        unit="",
        marks=[{"value": 0, "angle": 0, "label": "out"}, {"value": 1, "angle": 1, "label": "in"}],
    )
    return unit


@pytest.mark.parametrize(
    ("key", "text", "value", "shown"),
    [
        ("frequency", "2k2", 2200, "2.2 kHz"),
        ("frequency", "2.2 kHz", 2200, "2.2 kHz"),
        ("frequency", "2200", 2200, "2.2 kHz"),
        ("gain", "1 o'clock", 36, "36 dB"),
        ("gain", "13:00", 36, "36 dB"),
        ("level", "+3", 3, "+3 dB"),
        ("ratio", "4:1", 4, "4:1"),
        ("pad", "in", 1, "in"),
        ("pad", "OUT", 0, "out"),
    ],
)
def test_setting_is_understood_and_shown_back_in_one_form(
    client_of, engineer, key, text, value, shown
):
    revision = revision_of(every_kind())
    stage = revision.stages.get()
    client, address = client_of(engineer), page("stage_edit", stage)

    client.post(address, typed(revision, **{key: text}))

    stage.refresh_from_db()
    assert stage.settings == {key: value}
    assert f'value="{shown}"' in client.get(address).content.decode()


def test_nonsense_is_refused_beside_its_field_and_nothing_typed_is_lost(client_of, engineer):
    revision = revision_of(every_kind())
    sent = typed(revision, frequency="2k2", gain="loud", ratio="5:1", pad="in", note="warm")

    response = client_of(engineer).post(page("stage_edit", revision.stages.get()), sent)

    errors = response.context["form"].errors
    assert errors.keys() == {"control-gain", "control-ratio"}
    assert "“loud” is not understood here" in errors["control-gain"][0]
    assert "Write a value from 0 dB to 60 dB" in errors["control-gain"][0]
    assert "Write one of: 2:1, 4:1, 8:1" in errors["control-ratio"][0]
    html = unescape(response.content.decode())
    for text in ("2k2", "loud", "5:1"):
        assert f'value="{text}"' in html
    assert ">\nwarm</textarea>" in html
    assert Stage.objects.get().settings == {}


def test_emptied_field_is_not_logged_any_more(client_of, engineer):
    revision = revision_of(preamplifier())
    Stage.objects.update(settings={"gain": 35, "p48": 0})

    client_of(engineer).post(
        page("stage_edit", revision.stages.get()), typed(revision, gain="", p48="off")
    )

    assert Stage.objects.get().settings == {"p48": 0}


def test_tab_order_follows_the_signal(client_of, engineer):
    revision = revision_of(every_kind())

    html = client_of(engineer).get(page("stage_edit", revision.stages.get())).content.decode()

    names = ["patch_in", *[f"control-{key}" for key in ("frequency", "gain", "level", "ratio")]]
    places = [html.index(f'name="{name}"') for name in [*names, "patch_out", "note"]]
    assert places == sorted(places)
    assert 'tabindex="1"' not in html


@pytest.mark.parametrize("count", [1, 3])
def test_stage_page_costs_the_same_queries(client_of, engineer, django_assert_num_queries, count):
    unit = UnitFactory()
    panel = PanelFactory(model=unit.model)
    for _ in range(count):
        ControlFactory(panel=panel)
        PatchPointFactory()
    revision = revision_of(unit)
    for _ in range(count):
        PhotoFactory(revision=revision, subject=Subject.UNIT, unit=unit)
    address = page("stage_edit", revision.stages.get())
    client = client_of(engineer)

    with django_assert_num_queries(7):
        html = client.get(address).content.decode()

    assert html.count('name="control-') == count


def test_second_editor_gets_both_versions_and_can_save_from_there(client_of, engineer, assistant):
    revision = revision_of(preamplifier())
    stage = revision.stages.get()
    sent = typed(revision, gain="50", p48="on")
    change_stage(stage, seen=Seen.of(revision), by=assistant, settings={"gain": 40, "p48": 1})
    client = client_of(engineer)

    second = client.post(page("stage_edit", stage), sent)

    assert second.status_code == 409
    assert second.context["rows"] == [("Gain", "40 dB", "50")]
    assert "differs" in second.content.decode()
    assert Stage.objects.get().settings == {"gain": 40, "p48": 1}
    again = sent | {"seen": second.context["form"]["seen"].value()}
    assert client.post(second.context["address"], again).status_code == 302
    assert Stage.objects.get().settings == {"gain": 50, "p48": 1}


def test_second_editor_is_led_to_the_same_unit_in_the_next_revision(client_of, engineer, assistant):
    """r1: [mic] -- [pre] (fixed).   The assistant makes r2.   The engineer had r1 open."""
    revision = revision_of(microphone(), preamplifier())
    old = revision.stages.last()
    fix_revision(revision)
    new = change_stage(old, seen=Seen.of(revision), by=assistant, settings={"gain": 40})

    second = client_of(engineer).post(page("stage_edit", old), typed(revision, gain="50"))

    assert second.status_code == 409
    assert second.context["address"] == page("stage_edit", new)
    assert ("Gain", "40 dB", "50") in second.context["rows"]


def test_second_editor_whose_stage_was_taken_out_can_put_it_back(client_of, engineer, assistant):
    """[mic] -- [pre], open on the engineer's page   ->   [mic]"""
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic, pre)
    stage = revision.stages.last()
    sent = typed(revision, gain="50")
    remove_stage(Stage.objects.get(pk=stage.pk), seen=Seen.of(revision), by=assistant)
    client = client_of(engineer)

    second = client.post(page("stage_edit", stage), sent)

    assert second.status_code == 409
    assert {saved for _, saved, _ in second.context["rows"]} == {"removed"}
    assert units_in(revision) == [mic]
    again = sent | {"seen": second.context["form"]["seen"].value()}
    client.post(second.context["address"], again)
    assert units_in(revision) == [mic, pre]
    assert Stage.objects.last().settings == {"gain": 50}


def test_unit_on_the_bench_is_not_put_back_and_nothing_typed_is_lost(client_of, engineer):
    revision = revision_of(preamplifier())
    stage = revision.stages.get()
    address = page("stage_edit", stage)
    remove_stage(stage, seen=Seen.of(revision), by=engineer)
    revision.refresh_from_db()
    type(stage.unit).objects.update(state=UnitState.ON_THE_BENCH)

    refused = client_of(engineer).post(address, typed(revision, gain="50"))

    assert "on the bench since" in refused.context["form"].non_field_errors()[0]
    assert 'value="50"' in refused.content.decode()
    assert units_in(revision) == []


def test_save_after_a_take_says_that_a_revision_was_made(client_of, engineer):
    revision = revision_of(preamplifier())
    sent = typed(revision, gain="50")
    fix_revision(revision)

    response = client_of(engineer).post(
        page("stage_edit", revision.stages.get()), sent, follow=True
    )

    assert "This is revision 2 now; revision 1 stays" in response.content.decode()


@pytest.mark.parametrize(("towards", "order"), [("source", [1, 0]), ("track", [0, 1])])
def test_stage_is_moved(client_of, engineer, towards, order):
    """[mic] -- [pre]: pre towards the source, and towards the track where it is already"""
    units = [microphone(), preamplifier()]
    revision = revision_of(*units)

    response = client_of(engineer).post(
        page("stage_move", revision.stages.last()),
        {"towards": towards, "seen": str(Seen.of(revision))},
    )

    assert response.status_code == 302
    assert units_in(revision) == [units[place] for place in order]


@pytest.mark.parametrize("name", ["stage_move", "stage_delete"])
@pytest.mark.parametrize("seen", ["", "older"])
def test_move_or_delete_of_what_was_not_seen_does_nothing_and_says_so(
    client_of, engineer, assistant, name, seen
):
    units = [microphone(), preamplifier()]
    revision = revision_of(*units)
    sent = {"towards": "source", "seen": seen and str(Seen.of(revision))}
    change_stage(revision.stages.first(), seen=Seen.of(revision), by=assistant, note="dark")

    response = client_of(engineer).post(page(name, revision.stages.last()), sent, follow=True)

    assert "Somebody changed this chain" in response.content.decode()
    assert units_in(revision) == units


def test_stage_is_taken_out_only_after_asking(client_of, engineer):
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic, pre)
    client, address = client_of(engineer), page("stage_delete", revision.stages.last())

    asked = client.get(address)
    assert units_in(revision) == [mic, pre]
    client.post(address, {"seen": asked.context["form"]["seen"].value()})

    assert units_in(revision) == [mic]


def test_move_is_not_made_by_a_link(client_of, engineer):
    stage = revision_of(preamplifier()).stages.get()

    assert client_of(engineer).get(page("stage_move", stage)).status_code == 405


def test_stage_that_never_was_is_not_there(client_of, engineer):
    address = reverse("setups:stage_edit", args=[99])

    assert client_of(engineer).get(address).status_code == 404
    assert client_of(engineer).post(address, {}).status_code == 404
