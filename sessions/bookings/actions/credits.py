"""Who is to be named for what at a session; whoever is credited before it is expected there."""

from collections.abc import Iterable

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Credit, CreditedOn, RecordingSession
from sessions.bookings.telling import tell
from sessions.clients.models import Person
from sessions.songs.models import Part, Song


@action
def give_credit(
    session: RecordingSession,
    *,
    person: Person,
    role: str,
    instrument: str = "",
    credited_as: str = "",
    on: Iterable[Song | Part] = (),
    by,
) -> Credit:
    """`on`: the songs and parts that it is for, none for all that was recorded at the session.

    Raises BookingRefused where the person has that very credit, so that a double press is told.
    """
    _lock(session)
    credit, is_new = session.credits.get_or_create(
        person=person, role=role, instrument=instrument, defaults={"credited_as": credited_as}
    )
    if not is_new:
        raise BookingRefused(f"{person} has that credit already.")
    _credit_on(credit, on)
    tell(session, by=by)
    return credit


@action
def change_credit(
    credit: Credit, *, version: int, on: Iterable[Song | Part] = (), by, **facts
) -> Credit:
    """Put it right, `facts` as of the model; `on` as `give_credit` has it.

    Raises EditedMeanwhile when somebody saved it after `version`, BookingRefused where that credit
    is another's row.
    """
    _lock(credit.session)
    claim_version(credit, version)
    credit.refresh_from_db()
    set_facts(credit, **facts)
    same = {name: getattr(credit, name) for name in ("person", "role", "instrument")}
    if Credit.objects.filter(session=credit.session_id, **same).exclude(pk=credit.pk).exists():
        raise BookingRefused(f"{credit.person} has that credit already.")
    credit.save()
    _credit_on(credit, on)
    tell(credit.session, by=by)
    return credit


@action
def remove_credit(credit: Credit, *, by) -> None:
    _lock(credit.session)
    _credit_on(credit, ())
    credit.delete()
    tell(credit.session, by=by)


def _lock(session: RecordingSession) -> None:
    """What is told of its credits is told by one after the other."""
    RecordingSession.objects.select_for_update(no_key=True).get(pk=session.pk)


def _credit_on(credit: Credit, wanted: Iterable[Song | Part]) -> None:
    """Rows that stay are left alone, so that the history says what changed."""
    wanted = set(wanted)
    for each in credit.on.select_related("song", "part"):
        if (each.part or each.song) in wanted:
            wanted.remove(each.part or each.song)
        else:
            each.delete()
    for thing in wanted:
        CreditedOn.objects.create(credit=credit, **{thing._meta.model_name: thing})
