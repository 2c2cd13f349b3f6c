"""Who is told when a session loses somebody: once, in one letter for all of it, and never why."""

import pytest

from sessions.bookings.blocks.actions import remove_block
from sessions.bookings.models import Reservation
from sessions.letters.models import Letter, LetterState

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _addresses(ulric, piran):
    for person in (ulric, piran):
        person.email = f"{person.name.split()[0].lower()}@quay-steps.example"
        person.save()


@pytest.fixture
def told():
    """`told(ulric)`: the methods of the calendar files in each letter that waits for that person. Then
    it is sent."""

    def told(person):
        letters = Letter.objects.waiting().filter(to=person.email).order_by("pk")
        found = [[file.method for file in letter.files.all() if file.method] for letter in letters]
        letters.update(state=LetterState.SENT)
        return found

    return told


def test_who_falls_ill_is_not_booked_any_more_and_nobody_reads_why(book, leave, ulric, told):
    book(10, 14, people=[ulric])
    book(15, 18, people=[ulric])
    assert told(ulric) == [["REQUEST"], ["REQUEST"]]

    block = leave(9, 20, ulric, title="Sprained wrist", note="Sprained wrist")

    assert told(ulric) == [["CANCEL", "CANCEL"]]
    assert not Letter.objects.filter(text__icontains="sprained").exists()
    remove_block(block, by=block.history.last().history_user)
    assert told(ulric) == [["REQUEST", "REQUEST"]]


def test_who_stands_in_for_several_sessions_has_one_letter(book, leave, ulric, piran, told):
    sessions = [book(10, 14, people=[ulric]), book(15, 18, people=[ulric])]
    needs = Reservation.objects.filter(session__in=sessions, person=ulric)

    told(ulric)

    leave(9, 20, ulric, stand_ins={need.pk: piran for need in needs})

    assert told(piran) == [["REQUEST", "REQUEST"]]
    assert told(ulric) == [["CANCEL", "CANCEL"]]
