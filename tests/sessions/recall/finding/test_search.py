"""From whatever somebody remembers to the page of it."""

from datetime import timedelta

import pytest
from django.urls import resolve, reverse
from django.utils import timezone

from gear.equipment.models import Category, Transducer
from sessions.bookings.models import CreditRole
from sessions.deliverables.models import DeliverableFile
from sessions.money.models import PaperKind
from sessions.recall.finding.hits import MOST_HITS
from sessions.recall.finding.search import MOST_SONGS, find
from sessions.recall.finding.upkeep import FOLLOWED
from sessions.setups.models import Arrangement, ChainGroup, Seat
from sessions.takes.models import Mark
from tests.factories import (
    TEN_O_CLOCK,
    ChainFactory,
    ClientFactory,
    CreditFactory,
    DeliverableFactory,
    DeliverableFileFactory,
    LyricLineFactory,
    MoneyPaperFactory,
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
from tests.histories import date_back
from tests.sessions.recall.recorded import chain_of, record

DAY = TEN_O_CLOCK.date()
CLERK = "The Ferry Clerk’s Complaint"


@pytest.fixture
def lead(db):
    """Take 3 of the lead vocal, circled, through the ribbon M-01; all of it noted in passing."""
    part = PartFactory(
        name="Lead vocal",
        note="Doubled in the chorus",
        performer=PersonFactory(name="Hesper Dunnage"),
        song__title=CLERK,
        song__project__artist="The Windlass Four",
    )
    LyricLineFactory(section__song=part.song, text="The wick is low, the glass is clear")
    session = RecordingSessionFactory(
        project=part.song.project, title="Vocals by night", note="Stair lamp mended"
    )
    CreditFactory(
        session=session,
        person=PersonFactory(name="Ulric Yarrell"),
        role=CreditRole.RECORDING_ENGINEER,
    )
    chain = chain_of(part, session=session, source="Alto voice", track="Ld Vox")
    chain.chain.setup.name = "Screens round her"
    chain.chain.setup.save()
    unit = UnitFactory(
        asset_tag="M-01",
        note="Brighter than its brother",
        model__maker="Ullage Works",
        model__name="Tierce",
        model__category=Category.MICROPHONE,
        model__transducer=Transducer.RIBBON,
    )
    StageFactory(revision=chain, unit=unit, note="Grille off")
    take = TakeFactory(
        part=part, session=session, number=3, circled=True, mark=Mark.MASTER, note="Breath before"
    )
    DeliverableFileFactory(
        deliverable__song=part.song,
        deliverable__note="For the label",
        original_name="WF_FerryClerk_UY01_Rough.wav",
    )
    return record(take, chain)


def found(asked, user):
    """Group -> titles."""
    return {group.name: [hit.title for hit in group.hits] for group in find(asked, user).groups}


@pytest.mark.parametrize(
    "asked",
    [
        "clerk",
        "clerk's",
        "windlass complaint",
        "wick glass",
        "hesper lead",
        "doubled chorus",
        "take 3",
        "master breath",
        "ld vox",
        "grille",
        "screens",
        "stair lamp",
        "M-01",
        "ribbon vocal",
        "tierce",
        "yarrell windlass",
        "engineer ulric",
        "label rough",
        "ferryclerk",
        # One letter wrong, one missing, one too many, two swapped
        "complaimt ferr",
        "compaint",
        "complainnt",
        "compalint",
        "RIBON VOCAL",
        f"{DAY:%B} ribbon",
        f"ribbon {DAY:%b} {DAY.year}",
        f"{DAY.day} {DAY:%B} {DAY.year}",
        f"{DAY.isoformat()}",
    ],
)
def test_words_of_any_kind_lead_to_the_recall_of_the_song(lead, engineer, asked):
    results = find(asked, engineer)

    (song,) = next(group for group in results.groups if group.name == "Songs").hits
    assert (song.title, song.address) == (CLERK, reverse("recall:song", args=[lead.song.pk]))


@pytest.mark.parametrize(
    ("asked", "group", "title"),
    [
        ("lead", "Parts", f"Lead vocal of {CLERK}"),
        ("dunnage", "Parts", f"Lead vocal of {CLERK}"),
        ("lead 3", "Takes", f"Lead vocal, take 3 of {CLERK}"),
        ("breath", "Takes", f"Lead vocal, take 3 of {CLERK}"),
        ("master lead", "Takes", f"Lead vocal, take 3 of {CLERK}"),
        ("ld vox", "Chains and their notes", "Alto voice →\u00a0Ld Vox"),
        ("GRILLE", "Chains and their notes", "Alto voice →\u00a0Ld Vox"),
        ("label", "Deliverables", "Rough mix"),
        ("uy01", "Files", "WF_FerryClerk_UY01_Rough.wav"),
        ("stair", "Sessions", "Vocals by night"),
        ("ribbon yarrell", "Sessions", "Vocals by night"),
        ("windlass", "Projects", ""),
        ("brighter", "Units", "Ullage Works Tierce (M-01)"),
        ("ribbon", "Units", "Ullage Works Tierce (M-01)"),
        ("ullage", "Models", "Ullage Works Tierce"),
        ("hesper", "People", "Hesper Dunnage"),
    ],
)
def test_each_kind_is_found_by_its_own_words(lead, engineer, asked, group, title):
    titles = found(asked, engineer)[group]

    assert any(each.startswith(title) for each in titles)


def test_every_word_must_be_found(lead, engineer):
    assert found("clerk fiddle", engineer) == {}


@pytest.mark.parametrize("asked", ["comptaimt", "lea", "M-02", "take 4", "gril of"])
def test_no_more_is_forgiven_than_one_letter_of_a_word_that_has_some(lead, engineer, asked):
    """Two letters wrong; figures are right or others; `lea` is the beginning of lead all the same."""
    assert ("Songs" in found(asked, engineer)) == (asked in ("lea", "gril of"))


def test_title_alone_does_not_list_all_the_songs_parts_and_takes(lead, engineer):
    assert set(found("complaint", engineer)) == {"Songs", "Sessions"}  # at which it was recorded


def test_month_is_of_the_song_in_which_the_rest_was_found(lead, engineer):
    """A ribbon in another month finds nothing, and what was read as a month is said."""
    other = (DAY.replace(day=1) + timedelta(days=62)).replace(day=1)

    results = find(f"ribbon {other:%B} {other.year}", engineer)

    assert "Songs" not in [group.name for group in results.groups]
    assert results.in_words == f"{other:%B} {other.year} with “ribbon”"
    assert [(each.left_out, each.asked, each.songs) for each in results.fewer] == [
        (f"{other:%B} {other.year}", "ribbon", 1)
    ]
    assert ("ribbon", "gear of the kind Ribbon or Active ribbon") in [
        (each.typed, each.as_what) for each in results.understood
    ]


def test_word_that_is_a_name_and_a_month_is_read_as_both(engineer):
    SongFactory(title="March of the Lamplighters")
    in_march = RecordingSessionFactory(
        starts_at=TEN_O_CLOCK.replace(month=3), ends_at=TEN_O_CLOCK.replace(month=3, hour=12)
    )
    TakeFactory(
        part=PartFactory(song__title="Slow the Lantern", song__project=in_march.project),
        session=in_march,
    )

    assert found("march", engineer)["Songs"] == ["March of the Lamplighters", "Slow the Lantern"]


def test_accents_and_case_are_ignored_both_ways(engineer):
    SongFactory(title="Übermut")
    SongFactory(title="Garcon")

    for asked in ("ubermut", "ÜBERMUT", "übermut"):
        assert found(asked, engineer)["Songs"] == ["Übermut"]
    assert found("Garçon", engineer)["Songs"] == ["Garcon"]


def test_likest_comes_first_then_the_latest(engineer):
    project = ProjectFactory(artist="Lantern Row")
    for title, days in (("Hold it", 3), ("The Lantern", 9), ("Lantern", 6), ("Lanterns", 1)):
        song = SongFactory(title=title, project=project)
        start = TEN_O_CLOCK - timedelta(days=days)
        session = RecordingSessionFactory(
            project=project, starts_at=start, ends_at=start + timedelta(hours=1)
        )
        TakeFactory(part=PartFactory(song=song, name="Bell"), session=session)
    SongFactory(title="Bell", project=project)

    assert found("bell", engineer)["Songs"] == [
        "Bell",
        "Lanterns",
        "Hold it",
        "Lantern",
        "The Lantern",
    ]


def test_phone_and_numbers_of_papers_are_found_by_who_may_see_them(manager, engineer, mix_engineer):
    client = ClientFactory(name="Thole & Ledger", phone="01632 960 241")
    PersonFactory(name="Rosamund Keel", phone="01632 960255", client=client)
    for kind in (PaperKind.WORK_ORDER, PaperKind.QUOTE):
        for number in range(1, 4):
            MoneyPaperFactory(kind=kind, number=number)

    for phone in ("01632 960 241", "01632960241", "960241"):
        assert found(phone, engineer)["Clients"] == ["Thole & Ledger"]
        assert found(phone, mix_engineer) == {}
    assert found("960255", engineer)["People"] == ["Rosamund Keel"]
    assert found("keel", mix_engineer) == {}
    assert found("work order 3", manager)["Papers"] == ["Work order 3"]
    assert found("3", manager)["Papers"] == ["Quote 3", "Work order 3"]
    assert found("3", engineer) == found("work order 3", mix_engineer) == {}


def test_mix_engineer_finds_only_what_they_mix(lead, mix_engineer, mixed_project):
    part = PartFactory(
        song__project=mixed_project, song__title="Neap and Spring", name="Lead vocal"
    )

    assert found("lead", mix_engineer) == {
        "Songs": ["Neap and Spring"],
        "Parts": [f"Lead vocal of {part.song}"],
    }
    assert set(found("m-01", mix_engineer)) == {"Units"}  # whose page is everybody's
    for noted in ("stair", "breath", "grille", "wick", "doubled", "complaint", "hesper", "uy01"):
        assert found(noted, mix_engineer) == {}
    # Nor does what is said of a search in vain tell of others' work.
    results = find("neap compaint", mix_engineer)
    assert results.understood == []
    assert [each.left_out for each in results.fewer] == ["compaint"]


def test_names_of_others_projects_and_people_change_nothing(lead, mix_engineer, mixed_project):
    """One letter from a word that the mix engineer's songs have; nothing tells that they are names."""
    SongFactory(project__artist="The Tamarisks")
    SongFactory(project=mixed_project, title="Hespen and Tamarisps")

    for typed in ("hesper", "tamarisks"):
        assert found(typed, mix_engineer) == {"Songs": ["Hespen and Tamarisps"]}
        assert [each.as_what for each in find(typed, mix_engineer).understood]


def test_what_was_just_changed_is_found_as_it_is_now(lead, engineer):
    assert "Songs" in found("screens", engineer)
    setup = lead.revisions.get().chain.setup
    setup.name = "Foam behind her"
    setup.save()
    lead.song.title = "The Ferry Clerk’s Lament"
    lead.song.save()

    assert found("foam lament", engineer)["Songs"] == ["The Ferry Clerk’s Lament"]
    assert "Songs" not in found("screens", engineer)


def test_only_so_many_of_a_kind_are_listed(engineer):
    song = SongFactory(title="Shanty")
    for number in range(MOST_HITS + 1):
        PartFactory(song=song, name=f"Bell {number}")
    for number in range(MOST_SONGS):
        SongFactory(project=song.project, title=f"Shanty {number:02}")

    (songs,) = find("shanty", engineer).groups
    parts = next(group for group in find("bell", engineer).groups if group.name == "Parts")

    assert (len(songs.hits), songs.more) == (MOST_SONGS, True)
    assert (len(parts.hits), parts.more) == (MOST_HITS, True)


@pytest.mark.parametrize("rows", [1, 3])
def test_search_costs_the_same_queries_for_any_number_of_hits(
    lead, manager, rows, django_assert_num_queries
):
    client, project = ClientFactory(note="slipway"), ProjectFactory()
    for number in range(rows):
        session = RecordingSessionFactory(project=project, note="slipway")
        part = PartFactory(song__project=project, note="slipway", song__note="slipway")
        chain = chain_of(part, session=session, source=f"slipway {number}")
        StageFactory(revision=chain, unit=UnitFactory(note="slipway", model__note="slipway"))
        record(TakeFactory(part=part, session=session, circled=True, note="slipway"), chain)
        DeliverableFactory(song=part.song, note="slipway")
        DeliverableFileFactory(deliverable__song=part.song, original_name="slipway.wav")
        PersonFactory(name=f"Slipway {number}", client=client)
        ProjectFactory(client=client, name=f"Slipway {number}")
        ClientFactory(name=f"Slipway {number}")
        MoneyPaperFactory(session=session, number=number + 1, note="slipway")
    find("slipway", manager)  # makes the texts
    _long_ago()

    with django_assert_num_queries(39):
        results = find("slipway", manager)

    counts = {group.name: len(group.hits) for group in results.groups}
    assert counts == dict.fromkeys(counts, rows) | {"Clients": rows + 1}
    assert len(counts) == 13


def _long_ago():
    """Nothing was changed for a while: each history is older than what is looked at again."""
    then = timezone.now() - timedelta(days=1)
    DeliverableFile.objects.update(uploaded_at=then)
    date_back(*(followed.model for followed in FOLLOWED), to=then)


def test_page_shows_what_was_found_as_links_by_kind(client_of, engineer, lead):
    page = client_of(engineer).get(reverse("find:search"), {"q": "cler"})

    assert reverse("recall:song", args=[lead.song.pk]) in page.content.decode()
    assert [group.name for group in page.context["results"].groups][0] == "Songs"


def test_page_says_that_nothing_was_found_and_keeps_what_was_typed(client_of, engineer):
    page = client_of(engineer).get(reverse("find:search"), {"q": "nov 2026 <b>kraken</b>"})

    said = page.content.decode()
    assert page.context["results"].groups == []
    assert "nov 2026 &lt;b&gt;kraken&lt;/b&gt;" in said
    assert "Nothing in November 2026 with “&lt;b&gt;kraken&lt;/b&gt;”" in said


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
        revision = RevisionFactory(chain=chain)
        if source == "horn":
            StageFactory(revision=revision, unit=unit, channel=channel, panel=None)

    chains = found(asked, engineer)["Chains and their notes"]

    wanted = {"mid/side": "piano", "P-01/3": "horn"}.get(asked, "kit")
    assert [title.partition(" ")[0] for title in chains] == [wanted]


def test_find_is_a_page_of_everybody():
    assert resolve(reverse("find:search")).view_name == "find:search"
