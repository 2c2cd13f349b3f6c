"""Letters from what there is to tell."""

from collections.abc import Sequence

from django.utils import timezone

from sessions.bookings.event import Attendee, EventFacts, House, session_itip
from sessions.bookings.models import Told
from sessions.bookings.telling.choices import NONE, Choices
from sessions.bookings.telling.enclosures import papers_for, price_of
from sessions.bookings.telling.facts import ReadsAs
from sessions.bookings.telling.planning import Notice, Plan
from sessions.bookings.telling.shown import (
    changes_of,
    day_in_words,
    facts_in_words,
    moment,
)
from sessions.bookings.telling.tidings import Tidings
from sessions.bookings.telling.wording import paragraphs, said_of_all, subject_word
from sessions.letters.models import Letter
from sessions.letters.outbox import CalendarPart, Draft, post, replace
from sessions.letters.text import LetterText, Section
from sessions.rooms.models import Studio

COMES_NEW = {"booked", "held", "confirmed", "moved"}


def write(planned: Plan, choices: Choices, *, by) -> list[Letter]:
    """Put the letters into the outbox, in place of those that still wait, and keep what was told."""
    for notice in [*planned.silent, *planned.unreachable]:
        _replace(notice)
        _keep(notice, None)
    if not planned.notices:
        return []
    house, letters = House.current(), []
    for planned_notice in planned.notices:
        notice, chosen, among = planned_notice, choices, planned.notices
        if choices.leave_out(notice.reader.address):
            # Whoever is told nothing is not promised what is off, either; the rest of it goes.
            if notice.if_left_out is None:
                continue
            notice, chosen, among = notice.if_left_out, NONE, ()
        _replace(notice)
        if not notice.tidings:
            continue
        draft = _draft(notice, chosen, house, among=among, by=by)
        [letter] = post(
            draft.about,
            kind=kind_of(notice),
            drafts=[draft],
            sender=house.studio.writes_as,
            not_before=choices.not_before,
            by=by,
        )
        _keep(notice, letter)
        letters.append(letter)
    return letters


def drafts_for(planned: Plan, *, by) -> list[Draft]:
    """A letter for each of the notices, as it would be sent if nobody chose otherwise."""
    if not planned.notices:
        return []
    house = House.current()
    return [_draft(notice, NONE, house, among=planned.notices, by=by) for notice in planned.notices]


def _replace(notice: Notice) -> None:
    replace(Letter.objects.filter(pk__in=notice.replaces))


def _keep(notice: Notice, letter: Letter | None) -> None:
    reader = notice.reader
    Told.objects.bulk_create(
        Told(
            session=known.session,
            letter=letter,
            address=reader.address,
            person=reader.person,
            client=reader.client,
            user=reader.user,
            facts=known.facts,
        )
        for known in notice.known
    )


def kind_of(notice: Notice) -> str:
    """Of several things at once, if they are of one kind."""
    kinds = {each.kind for each in notice.tidings}
    return kinds.pop() if len(kinds) == 1 else "changed"


def _draft(notice: Notice, choices: Choices, house: House, *, among: Sequence[Notice], by) -> Draft:
    """The letter as it would be sent: one calendar object for each session, since one object holds one
    (RFC 5546, section 3.2). `among`: all that are written at once; a house copy says to whom."""
    reader, studio = notice.reader, house.studio
    first = notice.tidings[0]
    return Draft(
        to=reader.address,
        person=reader.person,
        client=reader.client,
        about=tuple(dict.fromkeys(each.session for each in notice.tidings)),
        subject=subject_of(notice),
        text=_text(notice, choices, studio, among=among, by=by),
        files_to_make=papers_for(reader, first) if len(notice.tidings) == 1 else (),
        told={str(each.session.pk): each.facts for each in notice.known},
        calendars=tuple(
            CalendarPart(
                each.method,
                session_itip(
                    each.session,
                    attendee=Attendee(reader.address, reader.name),
                    method=each.method,
                    facts=_event_facts(each, house),
                ),
                _calendar_name(each, notice),
            )
            for each in notice.tidings
            if each.method
        ),
    )


def _event_facts(tidings: Tidings, house: House) -> EventFacts:
    session = tidings.session
    return EventFacts(house, session.sequence, tuple(session.reservations.all()))


def _calendar_name(tidings: Tidings, notice: Notice) -> str:
    """Of several files, each has a name of its own, to be saved side by side."""
    if len(notice.tidings) == 1:
        return "session.ics"
    starts_at = timezone.localtime(moment(tidings.facts["starts"]))
    return f"session-{starts_at:%Y-%m-%d-%H%M}.ics"


def subject_of(notice: Notice) -> str:
    first = notice.tidings[0]
    if len(notice.tidings) == 1:
        return _subject(first)
    words = {subject_word(each) for each in notice.tidings}
    titles = {each.facts["title"] for each in notice.tidings}
    if len(words) > 1:
        further = len(notice.tidings) - 1
        return f"{_subject(first)}, and {further} more session{'s' if further > 1 else ''}"
    of = f"{titles.pop()}, " if len(titles) == 1 else ""
    return f"{words.pop()}: {of}{len(notice.tidings)} sessions"


def _subject(tidings: Tidings) -> str:
    return f"{subject_word(tidings)}: {_heading(tidings)}"


def _text(
    notice: Notice, choices: Choices, studio: Studio, *, among: Sequence[Notice], by
) -> LetterText:
    house = _for_house(among, choices, by) if _is_for_house(notice) else ()
    parts = [_part(each, choices, studio) for each in notice.tidings]
    said = _together(notice.tidings, parts) if len(parts) > 1 else parts[0]
    return LetterText(
        greeting="House copy" if _is_for_house(notice) else f"Dear {notice.reader.name},",
        added_line=choices.added_line,
        last=_directions(notice, studio),
        closing=studio.closing,
        **said | {"paragraphs": (*said["paragraphs"], *house)},
    )


def _together(tidings: tuple[Tidings, ...], parts: list[dict]) -> dict:
    """What is the same of all sessions is said once, before the sections of each."""
    of_all = said_of_all(tidings)
    shared = [fact for fact in parts[0]["facts"] if all(fact in part["facts"] for part in parts)]
    sections = (
        Section(
            heading=_heading(each),
            paragraphs=() if of_all else part["paragraphs"],
            changes=part["changes"],
            facts=tuple(fact for fact in part["facts"] if fact not in shared),
        )
        for each, part in zip(tidings, parts, strict=True)
    )
    return {
        "paragraphs": (of_all or f"This is about {len(parts)} sessions.",),
        "facts": tuple(shared),
        "sections": tuple(sections),
    }


def _part(tidings: Tidings, choices: Choices, studio: Studio) -> dict:
    """What is said of one session."""
    facts = facts_in_words(tidings)
    if tidings.reads_as != ReadsAs.MANAGER and tidings.after and studio.address:
        facts += (("Address", f"{studio.name}\n{studio.address}"),)
    if tidings.decides_as == ReadsAs.CLIENT and choices.with_price:
        facts += price_of(tidings.session)
    return {
        "paragraphs": tuple(paragraphs(tidings)),
        "changes": changes_of(tidings),
        "facts": facts,
    }


def _heading(tidings: Tidings) -> str:
    return f"{tidings.facts['title']}, {day_in_words(tidings.facts)}"


def _for_house(among: Sequence[Notice], choices: Choices, by) -> tuple[str, ...]:
    """Who did it, who is told of it and who is not."""
    others = [each for each in among if not _is_for_house(each)]
    left_out = [each for each in others if choices.leave_out(each.reader.address)]
    names = {
        "Told of it": [each.reader.name for each in others if each not in left_out],
        "Not told": [each.reader.name for each in left_out],
    }
    done = (f"Done by {by}.",) if by else ()
    return done + tuple(f"{word}: {', '.join(who)}." for word, who in names.items() if who)


def _directions(notice: Notice, studio: Studio) -> tuple[str, ...]:
    """For whoever is to come."""
    comes = any(each.after and each.kind in COMES_NEW for each in notice.tidings)
    if _is_for_house(notice) or not comes or not studio.directions:
        return ()
    return (f"How to find us: {studio.directions}",)


def _is_for_house(notice: Notice) -> bool:
    return notice.tidings[0].reads_as == ReadsAs.MANAGER
