"""What a musician signs at a session, and the paper of it."""

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.text import Truncator

from sessions.bookings.models import Credit, RecordingSession, Release
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.rooms.models import HouseRules, Studio
from sessions.signing.statement import Statement

LONGEST = 200  # signs of Release.covers


def release_statement(credit: Credit) -> Statement | None:
    """The house's wording over all that the person did at the session; None where the house has
    none. Reads credit.person and credit.session.project; a few queries."""
    rules = HouseRules.objects.first()
    if not (rules and rules.release_wording.strip()):
        return None
    session, credits = credit.session, _credits_of(credit)
    facts = (
        ("Musician", credit.person.name),
        ("Credited as", ", ".join(dict.fromkeys(each.name for each in credits))),
        ("Plays or sings", ", ".join(dict.fromkeys(each.does for each in credits))),
        ("Artist", session.project.artist),
        ("Recorded", date_format(timezone.localtime(session.starts_at))),
        ("Songs", _songs(session, credits)),
        ("Studio", Studio.current().name),
    )
    return Statement("Release", facts, rules.release_wording.strip())


def songs_covered(credit: Credit) -> str:
    """Of all the person's credits at the session, no longer than `Release.covers` may be."""
    return Truncator(_songs(credit.session, _credits_of(credit))).chars(LONGEST)


def _credits_of(credit: Credit) -> list[Credit]:
    return list(credit.session.credits.filter(person=credit.person_id).for_list())


def _songs(session: RecordingSession, credits: list[Credit]) -> str:
    if not all(each.on.all() for each in credits):
        return f"All that was recorded at {session}"
    return "; ".join(dict.fromkeys(words for each in credits for words in each.songs_in_words))


RELEASE = PaperKind(
    path=f"{__name__}.RELEASE",
    title="{}".format,
    page="musicians:release",
    template="sessions/bookings/musicians/release_paper.html",
    subjects=Release.objects.select_related("person", "session__project", "signature"),
    contents=lambda release, address: Contents({"release": release}),
    for_client=True,
)
