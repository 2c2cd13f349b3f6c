"""Letters from what there is to tell."""

from sessions.bookings.event import Attendee, session_itip
from sessions.bookings.models import Told
from sessions.bookings.telling.choices import Choices
from sessions.bookings.telling.facts import ReadsAs
from sessions.bookings.telling.planning import Notice, Plan
from sessions.bookings.telling.shown import (
    changes_of,
    day_in_words,
    facts_in_words,
)
from sessions.bookings.telling.tidings import Tidings
from sessions.bookings.telling.wording import paragraphs, subject_word
from sessions.letters.models import Letter
from sessions.letters.outbox import CalendarPart, Draft, post, replace
from sessions.letters.text import LetterText, Section
from sessions.rooms.models import Studio


def write(planned: Plan, choices: Choices, *, by) -> list[Letter]:
    """Put the letters into the outbox, in place of those that still wait, and keep what was told."""
    sender = Studio.current().sender if planned.notices else ""
    letters = []
    for notice in [*planned.silent, *planned.unreachable]:
        _replace(notice)
        _keep(notice, None)
    for notice in planned.notices:
        if choices.leave_out(notice.reader.address):
            continue
        _replace(notice)
        draft = draft_of(notice, choices, by=by)
        [letter] = post(draft.about, kind=kind_of(notice), drafts=[draft], sender=sender, by=by)
        _keep(notice, letter)
        letters.append(letter)
    return letters


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


def draft_of(notice: Notice, choices: Choices, *, by) -> Draft:
    """The letter as it would be sent: one calendar object for each session, since one object holds one
    (RFC 5546, section 3.2)."""
    reader = notice.reader
    return Draft(
        to=reader.address,
        person=reader.person,
        client=reader.client,
        about=tuple(dict.fromkeys(each.session for each in notice.tidings)),
        subject=subject_of(notice),
        text=_text(notice, choices, by=by),
        calendars=tuple(
            CalendarPart(
                each.method,
                session_itip(
                    each.session,
                    attendee=Attendee(reader.address, reader.name),
                    method=each.method,
                ),
            )
            for each in notice.tidings
            if each.method
        ),
    )


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
    return f"{subject_word(tidings)}: {tidings.facts['title']}, {day_in_words(tidings.facts)}"


def _text(notice: Notice, choices: Choices, *, by) -> LetterText:
    house = [f"Done by {by}."] if by and _is_for_house(notice) else []
    common = {
        "greeting": "House copy" if _is_for_house(notice) else f"Dear {notice.reader.name},",
        "added_line": choices.added_line,
        "closing": Studio.current().name,
    }
    if len(notice.tidings) > 1:
        return LetterText(
            paragraphs=(f"This is about {len(notice.tidings)} sessions.", *house),
            sections=tuple(_section(each) for each in notice.tidings),
            **common,
        )
    [tidings] = notice.tidings
    return LetterText(
        paragraphs=(*paragraphs(tidings), *house),
        changes=changes_of(tidings),
        facts=facts_in_words(tidings.facts),
        **common,
    )


def _section(tidings: Tidings) -> Section:
    return Section(
        heading=f"{tidings.facts['title']}, {day_in_words(tidings.facts)}",
        paragraphs=tuple(paragraphs(tidings)),
        changes=changes_of(tidings),
        facts=facts_in_words(tidings.facts),
    )


def _is_for_house(notice: Notice) -> bool:
    return notice.tidings[0].reads_as == ReadsAs.MANAGER
