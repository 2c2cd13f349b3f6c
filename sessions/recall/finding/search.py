"""From whatever somebody remembers to the song, and to all else that a studio has a page for. Only
what the person may see is looked through.

Words are compared here, not in the database: the same on SQLite and PostgreSQL, one letter wrong
forgiven and accents ignored on both. For that all that songs and sessions are remembered by stands
in one text each (`SearchText`), and what is few is read whole; so a search costs a constant number of
queries, and 5,000 songs less than a third of a second (`python -m tests.measure find`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.recall.finding.by_name import ByName
from sessions.recall.finding.entities import Entities
from sessions.recall.finding.hits import MOST_HITS, Group, Hit, day_of, joined, reasons
from sessions.recall.finding.in_songs import InSessions, InSongs
from sessions.recall.finding.matching import Asked
from sessions.recall.finding.models import Sought
from sessions.recall.finding.ranking import Found, Ranked, Texts
from sessions.recall.finding.terms import Term, read_terms
from sessions.recall.finding.understood import Understood, understood
from sessions.recall.finding.upkeep import bring_up_to_date
from sessions.songs.models import Song

MOST_SONGS = LOOKED_INTO = 20


@dataclass(frozen=True)
class Fewer:
    """What else could be asked: the same without one term."""

    left_out: str
    asked: str
    songs: int


@dataclass(frozen=True)
class Results:
    terms: list[Term]
    groups: list[Group]
    understood: list[Understood]
    fewer: list[Fewer]

    @property
    def count(self) -> int:
        return sum(len(group.hits) for group in self.groups)

    @property
    def is_of_days(self) -> bool:
        return any(term.days for term in self.terms)

    @property
    def in_words(self) -> str:
        """November 2026 with “ribbon” and “kraken”: what nothing was found of."""
        days = [term.days.label for term in self.terms if term.days]
        words = [f"“{term.typed}”" for term in self.terms if not term.days]
        return " with ".join(filter(None, (" and ".join(days), " and ".join(words))))


def find(text: str, user) -> Results:
    """What holds all that was typed, by kind, in a constant number of queries."""
    terms = read_terms(text, timezone.localdate())
    if not terms:
        return Results([], [], [], [])
    bring_up_to_date()
    song_texts = Texts(Sought.SONG, Song.objects.visible_to(user))
    session_texts = Texts(Sought.SESSION, RecordingSession.objects.visible_to(user))
    entities = Entities(user, (song_texts.vocabulary, session_texts.vocabulary))
    looked_through = (song_texts, session_texts, entities)
    typed = {word for term in terms for word in term.words}
    known = {word for word in typed if any(word in each.vocabulary for each in looked_through)}
    refs = entities.refs_of(terms, known)
    songs = song_texts.ranked(terms, refs, known)
    sessions = session_texts.ranked(terms, refs, known)
    in_songs = InSongs(songs.asked, songs.found[:LOOKED_INTO], user)
    in_sessions = InSessions(sessions.asked, sessions.found[:LOOKED_INTO], user)
    groups = [
        _songs(songs, entities),
        *in_songs.groups(in_sessions),
        _sessions(sessions, entities),
        *ByName(terms, entities, user, known).groups(),
    ]
    return Results(
        terms,
        [group for group in groups if group.hits],
        understood(songs.asked, sessions.asked),
        [] if songs.found or len(terms) == 1 else _fewer(terms, song_texts, songs.asked),
    )


def _songs(ranked_songs: Ranked, entities: Entities) -> Group:
    shown = ranked_songs.found[:MOST_SONGS]
    songs = Song.objects.select_related("project").in_bulk([each.key for each in shown])
    hits = [_song_hit(songs[each.key], each, ranked_songs, entities) for each in shown]
    return Group("Songs", tuple(hits), len(ranked_songs.found) > MOST_SONGS)


def _song_hit(song: Song, found: Found, of: Ranked, entities: Entities) -> Hit:
    why = reasons(of.asked, found.rings, entities)
    address = reverse("recall:song", args=[song.pk])
    return Hit(str(song), joined(song.project.artist, song.project), address, why)


def _sessions(ranked_sessions: Ranked, entities: Entities) -> Group:
    shown = ranked_sessions.found[: MOST_HITS + 1]
    sessions = RecordingSession.objects.select_related("project").in_bulk(
        [each.key for each in shown]
    )
    hits = []
    for each in shown:
        session = sessions[each.key]
        said = joined(
            session.project, day_of(session.starts_at), session.get_status_display().lower()
        )
        why = reasons(ranked_sessions.asked, each.rings, entities)
        hits.append(Hit(str(session), said, session.get_absolute_url(), why))
    return Group.of("Sessions", hits)


def _fewer(terms: Sequence[Term], texts: Texts, asked: Asked) -> list[Fewer]:
    """The words that alone keep songs from being found, that of most songs first."""
    return [
        Fewer(
            terms[n].typed,
            " ".join(term.typed for number, term in enumerate(terms) if number != n),
            count,
        )
        for n, count in texts.holding_all_but_one(asked).most_common()
    ]
