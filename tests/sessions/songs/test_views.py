import pytest
from django.urls import reverse

from sessions.songs.models import LyricLine, Part, Song
from sessions.takes.models import CompChoice
from tests.factories import (
    DeliverableFactory,
    LyricLineFactory,
    PartFactory,
    PersonFactory,
    ProjectFactory,
    SectionFactory,
    SongFactory,
    TakeFactory,
)

pytestmark = pytest.mark.django_db

# The agencies' own examples: ISRC from python-stdnum's vectors, ISWC from the ISWC guide.
ISRC_TYPED, ISRC_STORED = "ISRC BV-QSS-26-00001", "BVQSS2600001"
ISWC_TYPED, ISWC_STORED = "ISWC T-999.000.101-9", "T9990001019"


@pytest.mark.parametrize("rows", [1, 3])
def test_song_list_costs_the_same_at_any_length(
    client_of, engineer, rows, django_assert_num_queries
):
    for _ in range(rows):
        TakeFactory()
    client = client_of(engineer)

    with django_assert_num_queries(5):
        page = client.get(reverse("songs:list"))

    assert len(page.context["table"].rows) == rows


@pytest.mark.parametrize("rows", [1, 3])
def test_song_page_costs_the_same_at_any_length(
    client_of, engineer, rows, django_assert_num_queries
):
    song = SongFactory()
    for _ in range(rows):
        TakeFactory(part=PartFactory(song=song, performer=PersonFactory()))
        LyricLineFactory(section=SectionFactory(song=song))
        DeliverableFactory(song=song)
    client = client_of(engineer)

    with django_assert_num_queries(10):
        page = client.get(song.get_absolute_url())

    assert len(page.context["takes"]) == rows


def test_song_list_counts_parts_and_takes_apart(client_of, engineer):
    song = SongFactory()
    lead, _ = PartFactory(song=song), PartFactory(song=song)
    for number in (1, 2, 3):
        TakeFactory(part=lead, number=number)

    [row] = client_of(engineer).get(reverse("songs:list")).context["table"].rows

    assert (row.get_cell("part_count"), row.get_cell("take_count")) == (2, 3)


def test_song_list_narrows_by_project_and_title(client_of, engineer):
    ours = SongFactory(title="Slow the Lantern")
    SongFactory(title="Slow the Evening")
    SongFactory(project=ours.project, title="Salt on the Sill")
    client = client_of(engineer)

    page = client.get(reverse("songs:list"), {"q": "slow", "project": ours.project_id})

    assert [row.record for row in page.context["table"].rows] == [ours]


def test_song_list_of_a_mix_engineer_is_that_of_their_projects(
    client_of, mix_engineer, mixed_project
):
    theirs = SongFactory(project=mixed_project)
    other = SongFactory()
    client = client_of(mix_engineer)

    page = client.get(reverse("songs:list"))
    asked = client.get(reverse("songs:list"), {"project": other.project_id})

    assert [row.record for row in page.context["table"].rows] == [theirs]
    assert other.title not in asked.text
    assert list(page.context["filter"].form.fields["project"].queryset) == [mixed_project]


def test_song_is_put_on_record_with_codes_as_stored(client_of, assistant):
    project = ProjectFactory()

    page = client_of(assistant).post(
        reverse("songs:create", args=[project.pk]),
        {
            "title": "Salt on the Sill",
            "key": "D minor",
            "meter": "6/8",
            "tempo_map": "1: 96, 33: 104",
            "iswc": ISWC_TYPED,
            "isrc": ISRC_TYPED,
        },
    )

    song = Song.objects.get()
    assert page.url == song.get_absolute_url()
    assert (song.project, song.iswc, song.isrc) == (project, ISWC_STORED, ISRC_STORED)
    assert song.tempo_map == [{"bar": 1, "bpm": 96}, {"bar": 33, "bpm": 104}]


def test_song_is_shown_with_codes_as_printed(client_of, engineer):
    song = SongFactory(
        iswc=ISWC_STORED, isrc=ISRC_STORED, tempo_map=[{"bar": 1, "bpm": 96.5}], meter="6/8"
    )

    page = client_of(engineer).get(song.get_absolute_url())

    for fact in ("T-999.000.101-9", "BV-QSS-26-00001", "1: 96.5", "6/8"):
        assert fact in page.text


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("tempo_map", "33: 104", "The tempo of bar 1 is missing: begin with it, as in"),
        ("meter", "four", "“four” is not a time signature: write beats over note value"),
        ("meter", "4/5", "“4/5” is not a time signature"),
        ("meter", "17: 3/4", "The time signature of bar 1 is missing"),
        ("meter", "1: 4/4, 9: 3/4, 5: 4/4", "Bar 5 comes after bar 9"),
        ("iswc", "T-999.000.101-2", "does not fit the others"),
        ("isrc", "XX-SKG-19-12345", "does not begin any ISRC"),
    ],
)
def test_song_with_a_mistake_is_refused_beside_the_field(client_of, engineer, field, typed, said):
    page = client_of(engineer).post(
        reverse("songs:create", args=[ProjectFactory().pk]),
        {"title": "Salt on the Sill", field: typed},
    )

    [(wrong, [message])] = page.context["form"].errors.items()
    assert wrong == field
    assert said in message
    assert page.context["form"][field].value() == typed
    assert Song.objects.count() == 0


def test_song_of_a_title_the_project_has_is_refused(client_of, engineer):
    song = SongFactory(title="Salt on the Sill")

    page = client_of(engineer).post(
        reverse("songs:create", args=[song.project_id]), {"title": "Salt on the Sill"}
    )

    assert page.context["form"].errors["title"] == [
        f"{song.project} has a song “Salt on the Sill” already: choose another title."
    ]


def test_song_edited_without_a_change_stays_as_it_was(client_of, engineer):
    song = SongFactory(
        iswc=ISWC_STORED, isrc=ISRC_STORED, tempo_map=[{"bar": 1, "bpm": 96.5}], meter="6/8"
    )
    client = client_of(engineer)
    page = reverse("songs:edit", args=[song.pk])
    form = client.get(page).context["form"]

    client.post(page, {**form.initial, "last_bar": "", "seen": song.version})

    again = Song.objects.get()
    assert (again.iswc, again.isrc, again.tempo_map) == (song.iswc, song.isrc, song.tempo_map)


def test_new_part_stands_last_and_returns_to_the_song(client_of, engineer):
    song = SongFactory()
    PartFactory(song=song, position=4)
    singer = PersonFactory()
    client = client_of(engineer)
    page = reverse("songs:part_create", args=[song.pk])

    position = client.get(page).context["form"]["position"].value()
    answer = client.post(page, {"name": "Lead vocal", "performer": singer.pk, "position": position})

    part = Part.objects.get(name="Lead vocal")
    assert answer.url == song.get_absolute_url()
    assert (part.song, part.performer, part.position) == (song, singer, 5)


def test_part_of_a_name_the_song_has_is_refused(client_of, engineer):
    part = PartFactory(name="Lead vocal")

    page = client_of(engineer).post(
        reverse("songs:part_create", args=[part.song_id]), {"name": "Lead vocal", "position": 2}
    )

    assert page.context["form"].errors["name"] == [
        f"{part.song} has a part “Lead vocal” already: choose another name."
    ]


def test_part_is_edited(client_of, engineer):
    part = PartFactory(name="Harmony 1")

    client_of(engineer).post(
        reverse("songs:part_edit", args=[part.pk]),
        {"name": "Harmony 2", "position": 3, "seen": part.version},
    )

    part.refresh_from_db()
    assert (part.name, part.position) == ("Harmony 2", 3)


def test_song_page_shows_lyrics_parts_takes_and_deliverables(client_of, engineer):
    take = TakeFactory(part__name="Lead vocal", number=7, note="Best second verse")
    line = LyricLineFactory(section__song=take.song, text="The frost is on the morning")
    mix = DeliverableFactory(song=take.song, version=2)

    page = client_of(engineer).get(take.song.get_absolute_url())

    for shown in (line.text, line.section.name, "Best second verse", f"{mix}", "1 take"):
        assert shown in page.text
    assert reverse("recall:song", args=[take.song_id]) in page.text


def write(client, song, text, seen=None):
    return client.post(
        reverse("songs:lyrics", args=[song.pk]),
        {"text": text, "seen": seen or song.version},
    )


def test_lyrics_are_written_and_offered_again_as_typed(client_of, assistant):
    song = SongFactory()
    client = client_of(assistant)

    answer = write(client, song, "[Verse 1]\r\nThe frost is on the morning\r\n")

    assert answer.url == song.get_absolute_url()
    assert LyricLine.objects.get().section.name == "Verse 1"
    page = client.get(reverse("songs:lyrics", args=[song.pk]))
    assert page.context["form"]["text"].value() == "[Verse 1]\nThe frost is on the morning"


def test_lyrics_without_a_section_are_refused_and_kept_in_the_field(client_of, assistant):
    song = SongFactory()

    page = write(client_of(assistant), song, "The frost is on the morning")

    assert page.context["form"].errors["text"] == [
        "Line 1 is in no section: add one above it, such as [Verse 1]."
    ]
    assert "The frost is on the morning" in page.text


def test_chosen_line_left_out_is_named_beside_the_field(client_of, assistant):
    line = LyricLineFactory(text="The carts are on the hill")
    take = TakeFactory(part__song=line.section.song)
    CompChoice.objects.create(part=take.parts.get(), take=take, line=line)

    page = write(client_of(assistant), take.song, f"[{line.section.name}]\n")

    [message] = page.context["form"].errors["text"]
    assert "“The carts are on the hill” has to stay" in message
    assert LyricLine.objects.get() == line


def test_lyrics_changed_meanwhile_are_shown_side_by_side(client_of, assistant):
    song = SongFactory()
    seen = song.version
    client = client_of(assistant)
    write(client, song, "[Verse 1]\nThe frost is on the morning", seen)

    page = write(client, song, "[Verse 1]\nThe rooks are at the railing", seen)

    assert page.status_code == 409
    assert page.context["meanwhile"].differences == [
        (
            "Lyrics",
            "[Verse 1]\nThe frost is on the morning",
            "[Verse 1]\nThe rooks are at the railing",
        )
    ]
    assert LyricLine.objects.get().text == "The frost is on the morning"
