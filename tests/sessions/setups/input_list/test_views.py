"""The input list: typed line by line, saved as chains, and read back from chains the same."""

import csv
import io

import pytest
from django.urls import reverse

from gear.equipment.models import Category, Phantom, SignalLevel
from gear.panels.models import Meaning
from gear.patchbay.models import Side
from sessions.setups.chains.actions import fix_revision
from sessions.setups.input_list.lines import COLUMNS
from sessions.setups.models import Chain, ChainGroup, Path
from tests.factories import (
    BayFactory,
    ControlFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PanelFactory,
    PatchPointFactory,
    SetupFactory,
    UnitFactory,
)
from tests.sessions.setups.building import loaded, revision_of, switch

pytestmark = pytest.mark.django_db


@pytest.fixture
def setup():
    return SetupFactory()


@pytest.fixture
def house():
    """M-01 to M-03, a ribbon R-01, P-01 of eight channels with one phantom switch for four, C-01, A-01
    of eight channels, and wall lines 1 to 4."""
    bay = BayFactory()
    for number in (1, 2, 3):
        UnitFactory(asset_tag=f"M-0{number}", model=MicrophoneModelFactory(phantom="needed"))
    UnitFactory(asset_tag="R-01", model=MicrophoneModelFactory(phantom=Phantom.HARMFUL))
    pre = UnitFactory(
        asset_tag="P-01",
        model=GearModelFactory(category=Category.PREAMPLIFIER, channels=8, phantom_bank=4),
    )
    panel = PanelFactory(model=pre.model)
    ControlFactory(panel=panel, key="gain", label="Gain")
    switch(panel, key="p48", label="48 V", meaning=Meaning.PHANTOM)
    switch(panel, key="polarity", label="Polarity", meaning=Meaning.POLARITY)
    UnitFactory(asset_tag="C-01", model=GearModelFactory(category=Category.COMPRESSOR))
    UnitFactory(asset_tag="A-01", model=GearModelFactory(category=Category.CONVERTER, channels=8))
    for number in (1, 2, 3, 4):
        PatchPointFactory(bay=bay, label=f"Wall {number}", level=SignalLevel.MICROPHONE)
        PatchPointFactory(
            bay=bay, label=f"Pre {number} in", unit=pre, channel=number, side=Side.RETURN
        )
    return pre


def address(setup):
    return reverse("setups:input_list", args=[setup.pk])


def typed(*lines, prefix="n"):
    data = {"new": str(len(lines))}
    for number, line in enumerate(lines):
        data |= {f"{prefix}{number}-{column}": text for column, text in line.items()}
    return data


def changed(chain, page, **cells):
    """The posted list with all lines as they stand, but for these cells of one."""
    data = {"new": "0"}
    for form in page.context["forms"]:
        if form.chain:
            data |= {cell.html_name: cell.value() or "" for cell in form.cells}
            data[form["seen"].html_name] = str(form["seen"].value())
    return data | {f"c{chain.pk}-{column}": text for column, text in cells.items()}


VOCAL = {
    "input": "1",
    "source": "Alto voice",
    "microphone": "M-01",
    "stand": "Tall boom",
    "line": "Wall 1",
    "preamplifier": "P-01/1",
    "gain": "35",
    "phantom": "x",
    "polarity": "on",
    "inserts": "C-01",
    "converter": "A-01/1",
    "track": "Ld Vox",
    "note": "A hand above the stand",
}


def path_of(chain):
    return [
        (stage.unit.asset_tag, stage.channel, stage.settings)
        for stage in loaded(chain.revisions.newest().get()).stages.all()
    ]


def test_line_becomes_a_chain_and_is_read_back_as_it_was_typed(client_of, engineer, setup, house):
    client = client_of(engineer)

    assert client.post(address(setup), typed(VOCAL)).status_code == 302

    chain = Chain.objects.get(setup=setup)
    assert (chain.source.name, chain.track, chain.destination_input) == (
        "Alto voice",
        "Ld Vox",
        "1",
    )
    assert path_of(chain) == [
        ("M-01", None, {}),
        ("P-01", 1, {"gain": 35, "p48": 1, "polarity": 1}),
        ("C-01", None, {}),
        ("A-01", 1, {}),
    ]
    revision = loaded(chain.revisions.get())
    mic, pre, *_ = revision.stages.all()
    assert (mic.patch_out.label, pre.patch_in.label) == ("Wall 1", "Pre 1 in")
    assert revision.placement.stand == "Tall boom"
    assert revision.created_by == engineer
    shown = client.get(address(setup)).context["forms"][0]
    assert {cell.name: cell.value() for cell in shown.cells} == dict.fromkeys(COLUMNS, "") | (
        VOCAL | {"gain": "35 dB", "phantom": "on"}
    )


def test_lines_without_source_microphone_and_track_are_passed_over(
    client_of, engineer, setup, house
):
    ran_on = {"input": "2", "line": "Wall 2", "preamplifier": "P-01/2", "converter": "A-01/2"}

    client_of(engineer).post(address(setup), typed(VOCAL, ran_on, {}))

    assert Chain.objects.filter(setup=setup).count() == 1


def test_track_is_called_as_the_source_where_nobody_named_it(client_of, engineer, setup, house):
    client_of(engineer).post(address(setup), typed({"source": "Fiddle", "microphone": "M-02"}))

    assert Chain.objects.get().track == "Fiddle"


@pytest.mark.parametrize(
    ("column", "text", "said"),
    [
        ("microphone", "M-99", "No unit that is free is called “M-99”"),
        ("microphone", "C-01", "neither a microphone nor a DI box"),
        ("preamplifier", "P-01/9", "has 8 channels"),
        ("gain", "loud", "Write a value from"),
        ("line", "Wall 9", "No patch point is called “Wall 9”"),
        ("low_cut", "80 Hz", "No low cut is on the panels"),
    ],
)
def test_what_is_not_understood_is_said_in_its_cell_and_nothing_typed_is_lost(
    client_of, engineer, setup, house, column, text, said
):
    page = client_of(engineer).post(address(setup), typed(VOCAL | {column: text}))

    form = page.context["forms"][0]
    assert page.status_code == 422
    assert list(form.errors) == [column]
    assert said in str(form.errors[column])
    assert form[column].value() == text
    assert form["note"].value() == VOCAL["note"]
    assert not Chain.objects.exists()


def test_changed_cell_leaves_the_rest_of_the_chain(client_of, engineer, setup, house):
    """[M-01] -- [P-01/1] -- [C-01] -- [A-01/1], and a unit that is only monitored"""
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))
    chain = Chain.objects.get()
    revision = chain.revisions.get()
    effect = UnitFactory(asset_tag="E-01")
    revision.stages.create(position=5, unit=effect, path=Path.MONITOR_ONLY, settings={"size": 3})

    page = client.get(address(setup))
    client.post(address(setup), changed(chain, page, microphone="M-02", gain="41"))

    assert path_of(chain) == [
        ("M-02", None, {}),
        ("P-01", 1, {"gain": 41, "p48": 1, "polarity": 1}),
        ("C-01", None, {}),
        ("A-01", 1, {}),
        ("E-01", None, {"size": 3}),
    ]


def test_insert_goes_and_another_comes(client_of, engineer, setup, house):
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))
    chain = Chain.objects.get()
    UnitFactory(asset_tag="Q-01", model=GearModelFactory(category=Category.EQUALISER))

    client.post(address(setup), changed(chain, client.get(address(setup)), inserts="Q-01, C-01"))
    assert [tag for tag, *_ in path_of(chain)] == ["M-01", "P-01", "Q-01", "C-01", "A-01"]

    client.post(address(setup), changed(chain, client.get(address(setup)), inserts=""))
    assert [tag for tag, *_ in path_of(chain)] == ["M-01", "P-01", "A-01"]


def test_unchanged_list_changes_nothing(client_of, engineer, setup, house):
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))
    chain = Chain.objects.get()
    version = chain.revisions.get().version

    client.post(address(setup), changed(chain, client.get(address(setup))))

    assert chain.revisions.get().version == version


def test_fixed_chain_goes_on_in_its_next_revision(client_of, engineer, setup, house):
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))
    chain = Chain.objects.get()
    fix_revision(chain.revisions.get())

    client.post(address(setup), changed(chain, client.get(address(setup)), gain="20"))

    assert [revision.number for revision in chain.revisions.order_by("number")] == [1, 2]
    assert path_of(chain)[1] == ("P-01", 1, {"gain": 20, "p48": 1, "polarity": 1})


def test_second_editor_overwrites_nothing(client_of, engineer, assistant, setup, house):
    client, other = client_of(engineer), client_of(assistant)
    client.post(address(setup), typed(VOCAL))
    chain = Chain.objects.get()
    seen = client.get(address(setup))
    other.post(address(setup), changed(chain, other.get(address(setup)), gain="20"))

    page = client.post(address(setup), changed(chain, seen, gain="50"))

    assert page.status_code == 409
    assert path_of(chain)[1][2]["gain"] == 20
    assert page.context["forms"][0]["gain"].value() == "50"


def test_phantom_power_over_a_ribbon_in_its_bank_is_asked_first(client_of, engineer, setup, house):
    """[M-01] -- [P-01/1 48 V on]      [R-01] -- [P-01/2]: one switch for four"""
    ribbon = {"source": "Fiddle", "microphone": "R-01", "preamplifier": "P-01/2"}
    client = client_of(engineer)

    page = client.post(address(setup), typed(VOCAL, ribbon))

    assert list(page.context["forms"][0].errors) == ["phantom"]
    assert "R-01" in str(page.context["forms"][0].errors["phantom"])
    assert not Chain.objects.exists()
    assert client.post(address(setup), typed(VOCAL, ribbon) | {"is_sure": "1"}).status_code == 302
    assert Chain.objects.count() == 2


def test_ribbon_in_another_bank_is_not_asked_about(client_of, engineer, setup, house):
    ribbon = {"source": "Fiddle", "microphone": "R-01", "preamplifier": "P-01/5"}

    assert client_of(engineer).post(address(setup), typed(VOCAL, ribbon)).status_code == 302


def test_start_of_a_kind_and_of_another_list_are_not_saved(client_of, engineer, setup, house):
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))
    later = SetupFactory(session__project=setup.session.project)

    drums = client.get(address(later), {"start": "drums"}).context["forms"]
    like = client.get(address(later), {"like": setup.pk}).context["forms"][0]

    assert drums[0]["source"].value() == "Bass drum, inside"
    assert like["microphone"].value() == "M-01"
    assert [like[name].value() for name in ("gain", "phantom")] == [None, None]
    assert not later.chains.exists()


def test_file_is_shown_before_it_is_saved(client_of, engineer, setup, house):
    file = io.BytesIO(
        b"Input,Source,Microphone or DI box\r\n1,Alto voice,M-01\r\n2,Fiddle,M-02\r\n"
    )
    file.name = "list.csv"

    page = client_of(engineer).post(address(setup), {"read": "1", "file": file})

    forms = page.context["forms"]
    assert [form["source"].value() for form in forms[:2]] == ["Alto voice", "Fiddle"]
    assert not Chain.objects.exists()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"", "There is list is empty"),
        (b"Name,Source\r\nx,y", "“Name” is not a column of this list"),
        (b"Input\r\n1", "the column Source is missing"),
        (b"Source\r\n\xff\xff", "not in UTF-8"),
    ],
)
def test_file_that_is_no_list_is_refused_in_words(client_of, engineer, setup, text, said):
    file = io.BytesIO(text)
    file.name = "list.csv"

    page = client_of(engineer).post(address(setup), {"read": "1", "file": file})

    assert said in page.text or "empty" in page.text


def test_list_is_written_out_as_it_is_read(client_of, engineer, setup, house):
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))

    text = client.get(reverse("setups:input_list_csv", args=[setup.pk])).getvalue().decode()

    heads, line = csv.reader(io.StringIO(text.removeprefix("\ufeff")))
    assert heads == list(COLUMNS.values())
    assert dict(zip(COLUMNS, line, strict=True))["preamplifier"] == "P-01/1"


@pytest.mark.parametrize("count", [1, 6])
def test_list_costs_the_same_queries(client_of, engineer, django_assert_num_queries, setup, count):
    for _ in range(count):
        revision_of(UnitFactory(model=MicrophoneModelFactory()), setup=setup)
    client = client_of(engineer)

    with django_assert_num_queries(18):
        client.get(address(setup))


def test_another_microphone_keeps_the_line_and_what_stands_beside_it(
    client_of, engineer, setup, house
):
    """The wall line belongs to the place: M-02 is plugged in where M-01 was, and the gain stays."""
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))
    chain = Chain.objects.get()

    client.post(address(setup), changed(chain, client.get(address(setup)), microphone="M-02"))

    mic, pre, *_ = loaded(chain.revisions.newest().get()).stages.all()
    assert (mic.unit.asset_tag, mic.patch_out.label) == ("M-02", "Wall 1")
    assert pre.settings == {"gain": 35, "p48": 1, "polarity": 1}


def test_another_preamplifier_is_set_as_the_line_says(client_of, engineer, setup, house):
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))
    chain = Chain.objects.get()
    UnitFactory(asset_tag="P-02", model=house.model)

    client.post(address(setup), changed(chain, client.get(address(setup)), preamplifier="P-02/3"))

    assert path_of(chain)[1] == ("P-02", 3, {"gain": 35, "p48": 1, "polarity": 1})


def test_ribbon_that_comes_where_48_volts_are_on_is_asked_about(client_of, engineer, setup, house):
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL))
    chain = Chain.objects.get()

    page = client.post(
        address(setup), changed(chain, client.get(address(setup)), microphone="R-01")
    )

    assert list(page.context["forms"][0].errors) == ["phantom"]
    assert path_of(chain)[0][0] == "M-01"


def test_ribbon_of_another_setup_that_is_up_is_asked_about(client_of, engineer, setup, house):
    """[R-01] -- [P-01/2] stands in the setup beside it, on the switch that serves P-01/1"""
    client, beside = client_of(engineer), SetupFactory(session=setup.session)
    ribbon = {"source": "Fiddle", "microphone": "R-01", "preamplifier": "P-01/2"}
    client.post(address(beside), typed(ribbon))

    page = client.post(address(setup), typed(VOCAL))

    assert list(page.context["forms"][0].errors) == ["phantom"]
    assert not setup.chains.exists()


def test_gain_of_one_half_of_a_pair_is_the_others_too(client_of, engineer, setup, house):
    other = VOCAL | {"microphone": "M-02", "line": "Wall 2", "preamplifier": "P-01/2"}
    other |= {"converter": "A-01/2", "track": "Right", "inserts": "", "input": "2"}
    client = client_of(engineer)
    client.post(address(setup), typed(VOCAL | {"inserts": ""}, other))
    first, second = Chain.objects.order_by("position")
    group = ChainGroup.objects.create(setup=setup, name="Pair", arrangement="spaced")
    Chain.objects.update(group=group)

    client.post(address(setup), changed(first, client.get(address(setup)), gain="20"))

    assert path_of(first)[1][2]["gain"] == path_of(second)[1][2]["gain"] == 20
