"""The band day's musicians: what they are credited for, in and out, and what they signed."""

from datetime import timedelta

from gear.editing.history import update_with_history
from sessions.bookings.actions import give_credit
from sessions.bookings.models import Credit, CreditRole, RecordingSession
from sessions.bookings.musicians.actions import (
    come_in,
    credit_by_parts,
    end_break,
    go_out,
    log_release,
    sign_release,
    start_break,
    write_attendance,
)
from sessions.bookings.musicians.release import release_statement, songs_covered
from sessions.rooms.models import HouseRules
from sessions.songs.models import Song
from studio.demo.days import as_of
from studio.demo.sign_offs import handwriting

WORDING = (
    "I agree that what I play and sing on these songs may be sold, streamed and broadcast as part of the "
    "recording, under the name given above. (The demo’s own words: have a lawyer word yours.)"
)
# Who, in and out in minutes after the session's start
_THERE = [
    ("Ludo Tranter", -20, 365),
    ("Mina Sprigge", -15, 365),
    ("Osric Paull", 5, 365),
    ("Gwil Hanniford", -40, 420),
    ("Teo Larkrise", -75, 430),
    ("Ada Fenwright", -10, 400),
    ("Bram Hawse", 280, 350),
]
_LUNCH = (200, 255)
_SIGNED = ["Ludo Tranter", "Ada Fenwright"]


def attend(work, session: RecordingSession) -> None:
    """Call once the band's takes are logged."""
    _note_names(work)
    by, people = work.engineer, work.people
    give_credit(
        session,
        person=people["Ludo Tranter"],
        role=CreditRole.MUSICIAN,
        instrument="Flugelhorn",
        on=[Song.objects.get(project=session.project, title="Slow the Lantern")],
        by=by,
    )
    credit_by_parts(session, by=by)
    for name, came, left in _THERE:
        _was_there(session, people[name], came, left, by=by)
    for name in _SIGNED:
        _sign(session, people[name], by=by)
    for name in ("Mina Sprigge", "Teo Larkrise"):
        credit = _credit_of(session, people[name])
        log_release(
            credit,
            covers=songs_covered(credit),
            signed_on=session.starts_at.date(),
            note="Folder “Ninth Tide”, in the office",
            by=by,
        )


def _note_names(work) -> None:
    rules = HouseRules.current()
    rules.release_wording = WORDING
    rules.save()
    speaker = work.people["Bram Hawse"]
    speaker.credited_as = "Old Bram Hawse"
    speaker.save()
    songs = Song.objects.filter(project__name="Ninth Tide EP")
    update_with_history(songs, writers="Ada Fenwright (music), Bram Hawse (words)")


def _was_there(session, person, came: int, left: int, *, by) -> None:
    def at(minutes: int):
        return session.starts_at + timedelta(minutes=minutes)

    with as_of(at(-24 * 60)):
        call = at(max(0, came // 30 * 30 + 30))
        write_attendance(session, person=person, called_at=call, by=by)
    come_in(session, person=person, at=at(came), by=by)
    if came < _LUNCH[0]:
        start_break(session, person=person, at=at(_LUNCH[0]), by=by)
        end_break(session, person=person, at=at(_LUNCH[1]), by=by)
    go_out(session, person=person, at=at(left), by=by)


def _credit_of(session: RecordingSession, person) -> Credit:
    credits = session.credits.for_list().select_related("session__project")
    return credits.filter(person=person).first()


def _sign(session: RecordingSession, person, *, by) -> None:
    credit = _credit_of(session, person)
    sign_release(
        credit,
        statement=release_statement(credit),
        covers=songs_covered(credit),
        name=person.name,
        strokes=handwriting(person.name),
        by=by,
    )
