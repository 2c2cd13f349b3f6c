import pytest
from django.template import Context, Template
from django.urls import reverse

from studio.templatetags.changes import changes_of
from tests.factories import (
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    SongFactory,
)

pytestmark = pytest.mark.django_db


def change(thing, **facts):
    for name, value in facts.items():
        setattr(thing, name, value)
    thing.save()


def test_changes_name_the_person_and_the_fields_with_old_and_new(client_of, engineer):
    song = SongFactory(title="Salt on the Sill", key="D minor")
    client_of(engineer).post(
        reverse("songs:edit", args=[song.pk]),
        {"title": "Salt on the Sill", "key": "E minor", "meter": "6/8", "seen": song.version},
    )

    latest, first = changes_of(song)

    assert latest.who == "Ulric Yarrell"
    assert (latest.what, latest.fields) == (
        "",
        ["Key: D minor → E minor", "Time signature: empty → 6/8"],
    )
    assert latest.when > first.when
    assert (first.who, first.what, first.fields) == ("The system", "created", [])


def test_changes_are_in_the_words_of_the_page():
    project = ProjectFactory()
    change(project, sample_rate=96_000, retired=True)

    [latest, _] = changes_of(project)

    assert latest.fields == ["Sample rate: 48 kHz → 96 kHz", "Retired: no → yes"]


def test_changes_name_a_long_text_and_a_link_without_its_value():
    song = SongFactory()
    change(song, note="Sung " * 20, tempo_map=[{"bar": 1, "bpm": 96}])
    person = PersonFactory()
    change(person, client=ClientFactory())

    assert changes_of(song)[0].fields == ["Tempo map", "Note"]
    assert changes_of(person)[0].fields == ["Client"]


def test_changes_name_a_many_to_many_field():
    project = ProjectFactory()
    project.mix_engineers.add(PersonFactory())

    assert changes_of(project)[0].fields == ["Mix engineers"]


def test_save_that_changed_nothing_is_left_out():
    song = SongFactory()
    song.save()

    assert [change.what for change in changes_of(song)] == ["created"]


def test_change_gives_its_reason():
    song = SongFactory()
    song._change_reason = "Lyrics written"
    song.save()

    assert changes_of(song)[0].what == "Lyrics written"


@pytest.mark.parametrize("rows", [1, 3])
def test_changes_cost_the_same_at_any_length(rows, django_assert_num_queries):
    project = ProjectFactory()
    for number in range(rows):
        change(project, artist=f"The Windlass {number}")
        project.mix_engineers.add(PersonFactory())

    with django_assert_num_queries(2):
        found = changes_of(project)

    assert len(found) == 2 * rows + 1


def test_only_the_newest_changes_are_shown():
    song = SongFactory(key="0")
    for number in range(1, 5):
        change(song, key=str(number))

    assert [change.fields for change in changes_of(song, newest=2)] == [
        ["Key: 3 → 4"],
        ["Key: 2 → 3"],
    ]


def test_changes_stand_folded_on_the_page():
    song = SongFactory(key="D")
    change(song, key="<E>")

    shown = Template("{% load changes %}{% changes song %}").render(Context({"song": song}))

    assert shown.startswith('<details class="disclosure changes">')
    assert "Key: D → &lt;E&gt;" in shown


@pytest.mark.parametrize(("role", "sees"), [("manager", True), ("engineer", False)])
def test_discount_of_a_session_is_a_manager_s_to_read(client_of, request, role, sees):
    session = RecordingSessionFactory()
    change(session, discount_percent=15)
    change(session, title="Brass")

    page = client_of(request.getfixturevalue(role)).get(session.get_absolute_url())

    assert "→ Brass" in page.text
    assert ("Discount, per cent" in page.text.partition("Changes</summary>")[2]) == sees
