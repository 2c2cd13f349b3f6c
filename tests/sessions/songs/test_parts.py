"""What is still to record: how far each part is, what a guide is replaced by, doubles and harmonies."""

import pytest
from django.urls import reverse

from sessions.songs.forms import PartForm
from sessions.songs.models import Part, PartState, Relation
from sessions.songs.parts import part_lines
from sessions.takes.models import CompChoice, Mark
from tests.factories import LyricLineFactory, PartFactory, SectionFactory, SongFactory, TakeFactory

pytestmark = pytest.mark.django_db


def states(song) -> dict[str, str]:
    return {line.part.name: line.part.state for line in part_lines(song.parts.with_state())}


def test_how_far_each_part_is():
    song = SongFactory()
    names = ["Lead", "Cello", "Viola", "Horn", "Drums", "Bell"]
    lead, cello, viola, horn, drums, _ = [PartFactory(song=song, name=name) for name in names]
    line = LyricLineFactory(section=SectionFactory(song=song))
    take = TakeFactory(part=lead, mark=Mark.COMPLETE)
    CompChoice.objects.create(part=lead, line=line, take=take)
    TakeFactory(part=cello, mark=Mark.MASTER)
    TakeFactory(part=viola, circled=True)
    TakeFactory(part=horn)
    TakeFactory(part=drums, mark=Mark.FALSE_START)

    assert states(song) == {
        "Lead": PartState.COMPED,
        "Cello": PartState.CHOSEN,
        "Viola": PartState.CHOSEN,
        "Horn": PartState.RECORDED,
        "Drums": PartState.NOT_RECORDED,
        "Bell": PartState.NOT_RECORDED,
    }


def test_take_that_was_withdrawn_counts_for_nothing():
    part = PartFactory(name="Lead")
    TakeFactory(part=part, circled=True, withdrawn=True)

    assert states(part.song) == {"Lead": PartState.NOT_RECORDED}
    assert part.song.parts.for_list().get().take_count == 0


def test_parts_of_a_guide_are_replaced_one_by_one():
    song = SongFactory()
    guide = PartFactory(song=song, name="Guide", is_guide=True)
    other = PartFactory(song=song, name="Demo", is_guide=True)
    replaces = {"song": song, "relation": Relation.REPLACES, "related_to": guide}
    lead = PartFactory(name="Lead", **replaces)
    harmony = PartFactory(name="Harmony", **replaces)
    PartFactory(song=song, name="Double", relation=Relation.DOUBLES, related_to=lead)
    TakeFactory(part=lead, circled=True)

    lines = {line.part: line for line in part_lines(song.parts.with_state())}
    assert lines[guide].replacement_in_words == (
        "to be replaced by Harmony (not recorded), Lead (chosen)"
    )
    assert (lines[guide].is_to_replace, lines[other].is_to_replace) == (True, True)

    TakeFactory(part=harmony, circled=True)
    lines = {line.part: line for line in part_lines(song.parts.with_state())}
    assert lines[guide].is_replaced
    assert not lines[other].is_replaced


@pytest.mark.parametrize("rows", [1, 4])
def test_parts_cost_one_query(rows, django_assert_num_queries):
    song = SongFactory()
    for _ in range(rows):
        TakeFactory(
            part=PartFactory(song=song, related_to=PartFactory(song=song), relation="doubles")
        )

    with django_assert_num_queries(1):
        said = [
            (line.part.relation_in_words, line.part.state)
            for line in part_lines(song.parts.with_state())
        ]

    assert len(said) == 2 * rows


def test_part_says_both_what_it_does_and_beside_which(client_of, engineer):
    part = PartFactory(name="Double")
    lead = PartFactory(song=part.song, name="Lead")
    client = client_of(engineer)
    address = reverse("songs:part_edit", args=[part.pk])
    typed = {"name": "Double", "position": 1, "relation": "doubles", "seen": part.version}

    refused = client.post(address, typed)
    assert list(refused.context["form"].errors) == ["related_to"]

    client.post(address, typed | {"related_to": lead.pk})
    part = Part.objects.for_list().get(pk=part.pk)
    assert part.relation_in_words == "doubles Lead"


def test_two_parts_do_not_stand_beside_each_other():
    lead = PartFactory()
    double = PartFactory(song=lead.song, relation=Relation.DOUBLES, related_to=lead)

    typed = {"name": "Lead", "position": 1, "relation": "doubles", "related_to": double.pk}
    assert list(PartForm(typed, instance=lead).errors) == ["related_to"]
    assert double not in PartForm(instance=double).fields["related_to"].queryset
