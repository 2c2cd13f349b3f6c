"""From whatever somebody remembers to the recall of its song."""

from datetime import timedelta

import pytest
from django.urls import reverse

from sessions.recall.finding.search import MOST_HITS, find
from sessions.recall.finding.words import spellings, words_of
from sessions.setups.models import Arrangement, ChainGroup, Seat
from sessions.takes.models import Mark
from tests.factories import (
    TEN_O_CLOCK,
    ChainFactory,
    LyricLineFactory,
    PartFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.recorded import chain_of, record

DAY = TEN_O_CLOCK.date()


@pytest.fixture
def lead(db):
    """Take 3 of the lead vocal, circled, through M-01; all of it noted in passing."""
    part = PartFactory(
        name="Lead vocal",
        note="Doubled in the chorus",
        performer=PersonFactory(name="Hesper Dunnage"),
        song__title="The Ferry Clerk’s Complaint",
        song__project__artist="The Windlass Four",
    )
    LyricLineFactory(section__song=part.song, text="The wick is low, the glass is clear")
    session = RecordingSessionFactory(
        project=part.song.project, title="Vocals by night", note="Stair lamp mended"
    )
    chain = chain_of(part, session=session, source="Alto voice", track="Ld Vox")
    chain.chain.setup.name = "Screens round her"
    chain.chain.setup.save()
    unit = UnitFactory(asset_tag="M-01", note="Brighter than its brother")
    StageFactory(revision=chain, unit=unit, note="Grille off")
    return record(
        TakeFactory(
            part=part,
            session=session,
            number=3,
            circled=True,
            mark=Mark.MASTER,
            note="Breath before the tag",
        ),
        chain,
    )


def found(asked, user, *, day=None):
    """Group -> what leads to which recalls."""
    return {
        group.name: [(hit.title, [song.title for song in hit.songs]) for hit in group.hits]
        for group in find(words_of(asked), day=day, user=user)
    }


ROUND = ["The Ferry Clerk’s Complaint"]


@pytest.mark.parametrize(
    ("asked", "group", "title"),
    [
        ("clerk", "Songs", ROUND[0]),
        ("windlass complaint", "Songs", ROUND[0]),
        ("wick glass", "Songs", ROUND[0]),
        ("clerk's", "Songs", ROUND[0]),
        ("lead", "Parts", "Lead vocal of The Ferry Clerk’s Complaint"),
        ("dunnage", "Parts", "Lead vocal of The Ferry Clerk’s Complaint"),
        ("doubled complaint", "Parts", "Lead vocal of The Ferry Clerk’s Complaint"),
        ("take 3", "Takes", "Lead vocal, take 3"),
        ("lead 3", "Takes", "Lead vocal, take 3"),
        ("breath", "Takes", "Lead vocal, take 3"),
        ("master lead", "Takes", "Lead vocal, take 3"),
        ("ld vox", "Chains and their notes", "Alto voice →\u00a0Ld Vox"),
        ("GRILLE", "Chains and their notes", "Alto voice →\u00a0Ld Vox"),
        ("screens", "Chains and their notes", "Alto voice →\u00a0Ld Vox"),
        ("stair", "Sessions", "Vocals by night"),
    ],
)
def test_words_lead_to_the_recall_of_the_song(lead, engineer, asked, group, title):
    assert (title, ROUND) in found(asked, engineer)[group]


@pytest.mark.parametrize("asked", ["m-01", "brighter brother"])
def test_unit_leads_to_the_recalls_of_chosen_takes_recorded_through_it(lead, engineer, asked):
    ((title, songs),) = found(asked, engineer)["Units"]

    assert title.endswith("(M-01)")
    assert songs == ROUND


def test_every_word_must_be_found(lead, engineer):
    assert found("clerk fiddle", engineer) == {}


def test_title_alone_does_not_list_all_the_songs_parts_and_takes(lead, engineer):
    assert set(found("clerk", engineer)) == {"Songs"}


def test_unit_of_takes_that_were_not_chosen_is_in_no_recall(lead, engineer):
    lead.take_parts.update(circled=False, mark=Mark.HOLD)

    assert [songs for _title, songs in found("m-01", engineer)["Units"]] == [[]]


def test_day_finds_what_was_recorded_on_it(lead, engineer):
    on_day = found("", engineer, day=DAY)

    assert on_day["Songs"] == [(ROUND[0], ROUND)]
    assert on_day["Sessions"] == [("Vocals by night", ROUND)]
    assert [songs for _title, songs in on_day["Units"]] == [ROUND]
    assert found("lead", engineer, day=DAY - timedelta(days=1)) == {}


def test_mix_engineer_finds_only_what_they_mix(lead, mix_engineer, mixed_project):
    part = PartFactory(
        song__project=mixed_project, song__title="Neap and Spring", name="Lead vocal"
    )

    assert found("lead", mix_engineer) == {
        "Parts": [(f"Lead vocal of {part.song}", ["Neap and Spring"])]
    }
    assert found("m-01", mix_engineer)["Units"][0][1] == []
    for noted in ("stair", "breath", "grille", "wick", "doubled"):
        assert found(noted, mix_engineer) == {}


def test_words_that_are_not_plain_letters_are_found_in_either_case():
    assert {"Ätherische", "ätherische", "ÄTHERISCHE"} <= spellings("ätherische")
    assert spellings("o'er") >= {"o'er", "o’er"}
    assert spellings("slow") == {"slow"}


def test_only_so_many_of_a_kind_are_listed(engineer):
    project = ProjectFactory()
    for number in range(MOST_HITS + 1):
        SongFactory(project=project, title=f"Shanty {number:02}")

    (group,) = find(["shanty"], day=None, user=engineer)

    assert (len(group.hits), group.more) == (MOST_HITS, True)


@pytest.mark.parametrize("rows", [1, 3])
def test_search_costs_the_same_queries_for_any_number_of_hits(
    lead, engineer, rows, django_assert_num_queries
):
    for number in range(rows):
        session = RecordingSessionFactory(project=lead.song.project, note="slipway")
        part = PartFactory(song__project=lead.song.project, note="slipway", song__note="slipway")
        chain = chain_of(part, session=session, source=f"slipway {number}")
        StageFactory(revision=chain, unit=UnitFactory(note="slipway"))
        record(TakeFactory(part=part, session=session, circled=True, note="slipway"), chain)

    with django_assert_num_queries(10):
        groups = find(["slipway"], day=None, user=engineer)

    assert [len(group.hits) for group in groups] == [rows] * 6


def test_page_shows_what_was_found_as_links_to_the_recall(client_of, engineer, lead):
    page = client_of(engineer).get(reverse("find:search"), {"q": "cler"})

    assert reverse("recall:song", args=[lead.song.pk]) in page.content.decode()
    assert [group.name for group in page.context["groups"]] == ["Songs"]


def test_page_says_that_nothing_was_found_and_keeps_what_was_typed(client_of, engineer):
    page = client_of(engineer).get(reverse("find:search"), {"q": "<b>kraken</b>"})

    assert page.context["groups"] == []
    assert "&lt;b&gt;kraken&lt;/b&gt;" in page.content.decode()


def test_page_refuses_a_day_that_is_none_beside_the_field(client_of, engineer):
    page = client_of(engineer).get(reverse("find:search"), {"day": "yesterday"})

    assert page.context["groups"] is None
    assert "day" in page.context["form"].errors


@pytest.mark.parametrize("asked", ["mid/side", "spaced 30 cm", "drums", "left 30cm", "P-01/3"])
def test_chain_is_found_by_its_pair_group_and_channel(engineer, asked):
    """A piano pair [mid/side], a pair 30 cm apart over the drums, and a horn on P-01/3."""
    setup = SetupFactory()
    unit = UnitFactory(asset_tag="P-01", model__channels=8)
    groups = {
        "piano": ChainGroup.objects.create(
            setup=setup, name="Piano", arrangement=Arrangement.MID_SIDE
        ),
        "kit": ChainGroup.objects.create(
            setup=setup, name="Over the drums", arrangement=Arrangement.SPACED, spacing_cm=30
        ),
        "horn": None,
    }
    for channel, (source, group) in enumerate(groups.items(), 1):
        chain = ChainFactory(
            setup=setup, source=source, group=group, seat=Seat.LEFT if source == "kit" else ""
        )
        StageFactory(revision=RevisionFactory(chain=chain), unit=unit, channel=channel, panel=None)

    chains = next(
        each for each in find(words_of(asked), day=None, user=engineer) if "Chains" in each.name
    )

    wanted = {"mid/side": "piano", "P-01/3": "horn"}.get(asked, "kit")
    assert [hit.title.partition(" ")[0] for hit in chains.hits] == [wanted]
