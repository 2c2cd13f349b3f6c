"""The search texts of songs and sessions, made from their rows."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import datetime

from sessions.bookings.models import RecordingSession
from sessions.clients.orders import DeliverableKind
from sessions.deliverables.models import Deliverable, DeliverableFile, Limiting
from sessions.recall.finding import facts
from sessions.recall.finding.entities import person_ref, project_ref
from sessions.recall.finding.facts import Words
from sessions.recall.finding.models import SearchText, Sought
from sessions.recall.finding.words import words_of_all
from sessions.setups.models import Chain
from sessions.songs.models import LyricLine, Part, Song
from sessions.takes.models import Mark, Take, TakeFile, TakeKind, TakePart, TakeRevision

Keys = dict[int, set[int]]


def song_texts(keys: Collection[int], read_at: datetime) -> list[SearchText]:
    """In a constant number of queries."""
    songs = Song.objects.filter(pk__in=keys).order_by()
    own: Words = defaultdict(set)
    facts.add(own, songs, texts=["title", "key", "isrc", "iswc"], key="pk")
    projects = dict(songs.values_list("pk", "project"))
    chains, sessions = chains_of(keys), _sessions_of(keys)
    of_project = _sessions_of_projects(set(projects.values()))
    work = _recorded(keys)
    of_chains = _words_of_chains(chains)
    all_sessions = set().union(*sessions.values(), *of_project.values())
    of_sessions = facts.words_of_sessions(all_sessions)
    days = facts.days_of_sessions(all_sessions)
    texts = []
    for song, project in projects.items():
        beside = of_project[project] - sessions[song]
        text = SearchText(kind=Sought.SONG, subject=song, read_at=read_at)
        text.own = _text(own[song] | {project_ref(project)})
        text.work = _text(work[song], *(of_chains[key] for key in chains[song]))
        text.work += _text(*(of_sessions[key] for key in sessions[song]))
        text.around = _text(*(of_sessions[key] for key in beside))
        text.days = _text(*(days[key] for key in sessions[song] if key in days))
        text.days_around = _text(*(days[key] for key in beside if key in days))
        texts.append(text)
    return texts


def session_texts(keys: Collection[int], read_at: datetime) -> list[SearchText]:
    """In a constant number of queries."""
    sessions = RecordingSession.objects.filter(pk__in=keys).order_by()
    own: Words = defaultdict(set)
    facts.add(own, sessions, texts=["title"], key="pk")
    projects = dict(sessions.values_list("pk", "project"))
    chains = chains_of_sessions(keys)
    work: Words = defaultdict(set)
    songs = Song.objects.filter(takes__session__in=keys).order_by()
    facts.add(work, songs, texts=["title"], key="takes__session")
    of_chains = _words_of_chains(chains)
    booked, units = facts.words_of_sessions(keys), facts.units_of_sessions(keys)
    days = facts.days_of_sessions(keys)
    texts = []
    for session, project in projects.items():
        text = SearchText(kind=Sought.SESSION, subject=session, read_at=read_at)
        text.own = _text(own[session] | {project_ref(project)})
        of_its_chains = (of_chains[key] for key in chains[session])
        text.work = _text(work[session], booked[session], units[session], *of_its_chains)
        text.days = _text(days[session])
        texts.append(text)
    return texts


def _words_of_chains(chains: Keys) -> Words:
    """With those of their setups."""
    keys = set().union(*chains.values())
    words, of_setups = facts.words_of_chains(keys), facts.words_of_setups(keys)
    return defaultdict(set, {key: words[key] | of_setups[key] for key in keys})


def _text(*words: Iterable[str]) -> str:
    """Each once, in order, so that the same rows make the same text."""
    return f" {' '.join(sorted(set().union(*words)))} "


def chains_of(songs: Collection[int]) -> Keys:
    """Those that carry a part of theirs, and those that takes of theirs went through."""
    chains: Keys = defaultdict(set)
    carried = Chain.parts.through.objects.filter(part__song__in=songs)
    taken = TakeRevision.objects.filter(take__song__in=songs).order_by()
    for pairs in (
        carried.values_list("part__song", "chain"),
        taken.values_list("take__song", "revision__chain").distinct(),
    ):
        for song, chain in pairs:
            chains[song].add(chain)
    return chains


def chains_of_sessions(sessions: Collection[int]) -> Keys:
    chains: Keys = defaultdict(set)
    rows = Chain.objects.filter(setup__session__in=sessions).order_by()
    for session, chain in rows.values_list("setup__session", "pk"):
        chains[session].add(chain)
    return chains


def _sessions_of(songs: Collection[int]) -> Keys:
    """Those at which they were recorded, or have a chain of their own."""
    sessions: Keys = defaultdict(set)
    taken = Take.objects.filter(song__in=songs).order_by()
    carried = Chain.parts.through.objects.filter(part__song__in=songs)
    for pairs in (
        taken.values_list("song", "session").distinct(),
        carried.values_list("part__song", "chain__setup__session").distinct(),
    ):
        for song, session in pairs:
            sessions[song].add(session)
    return sessions


def _sessions_of_projects(projects: Collection[int]) -> Keys:
    sessions: Keys = defaultdict(set)
    for project, session in RecordingSession.objects.filter(project__in=projects).values_list(
        "project", "pk"
    ):
        sessions[project].add(session)
    return sessions


def _recorded(songs: Collection[int]) -> Words:
    """Words, parts, takes, deliverables and the files of both."""
    words: Words = defaultdict(set)
    facts.add(words, Song.objects.filter(pk__in=songs).order_by(), texts=["note"], key="pk")
    lines = LyricLine.objects.filter(section__song__in=songs).order_by()
    facts.add(words, lines, texts=["text", "section__name"], key="section__song")
    parts = Part.objects.filter(song__in=songs).order_by()
    for song, performer, *texts in parts.values_list("song", "performer", "name", "note"):
        words[song] |= words_of_all(texts) | ({person_ref(performer)} - {""})
    for take in (
        Take.objects.filter(song__in=songs).order_by().only("song", "number", "kind", "note")
    ):
        words[take.song_id] |= words_of_take(take)
    for song, mark, circled, note in (
        TakePart.objects.filter(take__song__in=songs)
        .order_by()
        .values_list("take__song", "mark", "circled", "note")
        .distinct()
    ):
        words[song] |= words_of_outcome(mark, circled, note)
    files = TakeFile.objects.filter(take__song__in=songs).order_by()
    facts.add(words, files, texts=["path"], key="take__song")
    for each in Deliverable.objects.filter(song__in=songs).order_by():
        words[each.song_id] |= words_of_deliverable(each)
    sent = DeliverableFile.objects.filter(deliverable__song__in=songs).order_by()
    facts.add(words, sent, texts=["original_name"], key="deliverable__song")
    return words


def words_of_take(take: Take) -> set[str]:
    kind = TakeKind(take.kind).label if take.kind != TakeKind.WHOLE else ""
    return words_of_all(["take", str(take.number), kind, take.note])


def words_of_outcome(mark: str, circled: bool, note: str) -> set[str]:
    return words_of_all([Mark(mark).label if mark else "", "circled" if circled else "", note])


def words_of_deliverable(deliverable: Deliverable) -> set[str]:
    kind = DeliverableKind(deliverable.kind).label
    limited = Limiting(deliverable.limiting).label if deliverable.limiting else ""
    return words_of_all([kind, str(deliverable.version), limited, deliverable.note])
