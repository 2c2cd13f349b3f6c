"""Pairs and groups of chains: who belongs to them, what a fixed revision keeps, and settings that are
entered once for both halves of a pair."""

import pytest
from django.urls import reverse

from gear.equipment.models import Phantom
from sessions.setups.chains.actions import Seen, change_stage, fix_revision
from sessions.setups.editor.actions import Typed, set_field, set_stages
from sessions.setups.grouping.drawing import group_drawing, pair_drawing
from sessions.setups.models import Arrangement, Chain, ChainGroup, GroupFacts, Seat
from tests.drawings import words_beyond
from tests.factories import PlacementFactory, RevisionFactory, SetupFactory
from tests.sessions.setups.building import loaded, microphone, preamplifier, revision_of, stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def setup():
    return SetupFactory()


@pytest.fixture
def pair(setup):
    """[mic] -- [pre/1]  and  [mic] -- [pre/2], two microphones of one model, 60 cm apart"""
    mic, pre = microphone(), preamplifier(channels=8)
    group = ChainGroup.objects.create(
        setup=setup, name="Overheads", arrangement=Arrangement.SPACED, spacing_cm=60
    )
    for channel, seat in enumerate((Seat.LEFT, Seat.RIGHT), 1):
        revision = RevisionFactory(
            chain__setup=setup,
            chain__group=group,
            chain__seat=seat,
            chain__position=channel,
            chain__source=f"Kit, {seat}",
        )
        stage(revision, mic if channel == 1 else microphone(), panel=None)
        stage(revision, pre, channel=channel)
    return group


def chains_of(group):
    return list(Chain.objects.filter(group=group.pk).order_by("position"))


def newest(chain):
    return loaded(chain.revisions.newest().get())


def settings_of_pre(chain):
    return newest(chain).stages.all()[1].settings


def post(client, address, **facts):
    return client.post(address, {"name": "Overheads", "arrangement": "spaced"} | facts)


def test_pair_of_two_chains_is_left_and_right(client_of, engineer, setup):
    chains = [revision_of(microphone(), setup=setup, position=n).chain for n in (1, 2)]

    post(
        client_of(engineer),
        reverse("setups:group_create", args=[setup.pk]),
        chains=[chain.pk for chain in chains],
        spacing_cm="60",
        is_matched="on",
    )

    group = setup.groups.get()
    assert [(chain, chain.seat) for chain in chains_of(group)] == [
        (chains[0], Seat.LEFT),
        (chains[1], Seat.RIGHT),
    ]
    assert group.history.get().history_user == engineer


def test_mid_side_pair_is_mid_and_side_and_is_edited_in_place(client_of, engineer, pair):
    client, (first, second) = client_of(engineer), chains_of(pair)

    answer = post(
        client,
        reverse("setups:group_edit", args=[pair.pk]),
        arrangement="mid_side",
        chains=[first.pk, second.pk],
        seen=pair.version,
    )

    assert answer.status_code == 302
    assert [chain.seat for chain in chains_of(pair)] == [Seat.MID, Seat.SIDE]


def test_pair_is_turned_round(client_of, engineer, pair):
    client, (first, second) = client_of(engineer), chains_of(pair)
    address = reverse("setups:group_edit", args=[pair.pk])

    post(client, address, chains=[first.pk, second.pk], swapped="on", seen=pair.version)

    assert [chain.seat for chain in chains_of(pair)] == [Seat.RIGHT, Seat.LEFT]
    assert client.get(address).context["form"]["swapped"].value() is True


def test_chain_that_is_left_out_stands_alone_again(client_of, engineer, pair):
    first, second = chains_of(pair)

    post(
        client_of(engineer),
        reverse("setups:group_edit", args=[pair.pk]),
        arrangement="group",
        chains=[second.pk],
        seen=pair.version,
    )

    first.refresh_from_db()
    assert (first.group, first.seat) == (None, "")
    assert chains_of(pair) == [second]


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"arrangement": "spaced"}, "chains"),
        ({"arrangement": "group", "included_angle_deg": "270"}, "included_angle_deg"),
        ({"arrangement": "group", "spacing_cm": "-3"}, "spacing_cm"),
        ({"arrangement": "group", "name": "Overheads"}, "name"),
    ],
)
def test_what_makes_no_group_is_said_beside_the_field(client_of, engineer, pair, facts, field):
    address = reverse("setups:group_create", args=[pair.setup_id])

    page = post(client_of(engineer), address, **({"name": "Another"} | facts))

    assert list(page.context["form"].errors) == [field]


def test_setting_of_one_half_is_the_others_too(pair, engineer):
    first, second = chains_of(pair)
    key = str(newest(first).stages.all()[1].unit_id)

    set_field(first, key=key, name="control-gain", was=None, value=35, by=engineer)

    assert settings_of_pre(first) == settings_of_pre(second) == {"gain": 35}
    assert newest(second).stages.all()[1].channel == 2


def test_change_on_the_setting_page_goes_to_both_and_is_recorded_as_the_engineers(pair, engineer):
    first, second = chains_of(pair)
    pre = newest(second).stages.all()[1]

    change_stage(pre, seen=Seen.of(newest(second)), by=engineer, settings={"gain": 20, "p48": 1})

    assert settings_of_pre(first) == {"gain": 20, "p48": 1}
    assert newest(first).stages.all()[1].history.first().history_user == engineer


def test_halves_that_were_typed_differently_at_once_are_set_alike_all_the_same(pair, engineer):
    typed = []
    for chain, gain in zip(chains_of(pair), (20, 35), strict=True):
        revision = newest(chain)
        pre = revision.stages.all()[1]
        typed.append(
            Typed(chain, Seen.of(revision), {f"{pre.unit_id}": {"settings": {"gain": gain}}})
        )

    set_stages(typed, by=engineer)

    assert [settings_of_pre(chain) for chain in chains_of(pair)] == [{"gain": 35}] * 2


def test_phantom_power_does_not_follow_to_a_half_that_it_can_damage(pair, engineer):
    """[condenser] -- [pre/1 48 V on]  and  [ribbon] -- [pre/2], each with a switch of its own"""
    first, second = chains_of(pair)
    ribbon = newest(second).stages.all()[0]
    ribbon.unit = microphone(phantom=Phantom.HARMFUL)
    ribbon.save()
    pre = newest(first).stages.all()[1]

    change_stage(pre, seen=Seen.of(newest(first)), by=engineer, settings={"gain": 20, "p48": 1})

    assert settings_of_pre(first) == {"gain": 20, "p48": 1}
    assert settings_of_pre(second) == {"gain": 20}


def test_page_hears_which_chain_was_set_with_the_one_it_sent(pair, client_of, engineer):
    first, second = chains_of(pair)
    sent = {"stage": str(newest(first).stages.all()[1].unit_id), "name": "control-gain"}

    def half():
        answer = client_of(engineer).post(
            reverse("editor:field", args=[first.pk]), sent | {"value": "35", "was": "", "seen": ""}
        )
        return answer.json()["half"]

    assert half() == second.pk
    ChainGroup.objects.update(is_matched=False)
    assert half() is None


def test_parted_halves_go_their_own_ways(pair, engineer):
    ChainGroup.objects.update(is_matched=False)
    first, second = chains_of(pair)
    key = str(newest(first).stages.all()[1].unit_id)

    set_field(first, key=key, name="control-gain", was=None, value=35, by=engineer)

    assert (settings_of_pre(first), settings_of_pre(second)) == ({"gain": 35}, {})


def test_half_that_was_recorded_goes_on_in_its_next_revision(pair, engineer):
    first, second = chains_of(pair)
    fix_revision(newest(second))
    key = str(newest(first).stages.all()[1].unit_id)

    set_field(first, key=key, name="control-gain", was=None, value=35, by=engineer)

    assert [revision.number for revision in second.revisions.order_by("number")] == [1, 2]
    assert settings_of_pre(second) == {"gain": 35}
    assert second.revisions.get(number=1).stages.all()[1].settings == {}


def test_chains_of_a_group_that_is_no_pair_are_set_one_by_one(pair, engineer):
    ChainGroup.objects.update(arrangement=Arrangement.GROUP)
    first, second = chains_of(pair)
    key = str(newest(first).stages.all()[1].unit_id)

    set_field(first, key=key, name="control-gain", was=None, value=35, by=engineer)

    assert settings_of_pre(second) == {}


def test_fixed_revision_keeps_the_pair_of_its_day(pair):
    first, _ = chains_of(pair)
    fix_revision(newest(first))
    ChainGroup.objects.update(name="Room pair", spacing_cm=200)

    assert str(newest(first).group_facts) == "Overheads, left: spaced pair, 60 cm apart"


def test_group_in_words_and_drawn():
    facts = GroupFacts("Main pair", Arrangement.NEAR_COINCIDENT, Seat.RIGHT, 17, 110)

    drawing = pair_drawing(facts)

    assert str(facts) == (
        "Main pair, right: near-coincident pair, 17 cm apart, 110° between the axes"
    )
    assert drawing.title == str(facts)
    assert {words.text for words in drawing.words} == {"left", "right", "17 cm", "110°"}


def test_group_is_drawn_from_above_where_it_was_measured(setup):
    """[kick 0/40] in front, [overhead -60/-20] to the left behind, [room] not measured"""
    kick, overhead, room = (
        revision_of(microphone(), setup=setup, source=source)
        for source in ("Kick", "Overhead", "Room")
    )
    assert group_drawing("Drums", [kick, overhead, room]) is None
    PlacementFactory(revision=kick, across_cm=0, along_cm=40)
    PlacementFactory(revision=overhead, across_cm=-60, along_cm=-20)

    drawing = group_drawing("Drums", [loaded(each) for each in (kick, overhead, room)])

    assert [words.text for words in drawing.words] == ["Kick", "Overhead"]
    assert drawing.title.endswith(
        "Kick: 0 cm right, 40 cm in front; Overhead: 60 cm left, 20 cm behind"
    )
    (kick_at, overhead_at) = [(words.x, words.y) for words in drawing.words]
    assert kick_at[0] > overhead_at[0]
    assert kick_at[1] < overhead_at[1]


def test_long_names_stay_on_the_drawing_of_a_group(setup):
    name = "The second of the four horns from the hill{}"
    stands = [revision_of(microphone(), setup=setup, source=name.format(n)) for n in range(2)]
    for revision, across in zip(stands, (-80, 80), strict=True):
        PlacementFactory(revision=revision, across_cm=across, along_cm=10)

    drawing = group_drawing("Horns", [loaded(each) for each in stands])

    assert words_beyond(drawing) == []
    assert name.format(1) in drawing.title
