"""Parts, takes, chains, deliverables and files: what holds the terms within the songs that do, and
the chains within such sessions.

A song's text has all the words of these, so none is missed that stands in one of the first songs; and
a house of ten thousand songs reads no more rows than one of twenty. Each kind costs a constant number
of queries.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence

from django.urls import reverse
from django.utils import timezone

from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.recall.finding import facts, texts
from sessions.recall.finding.entities import person_ref
from sessions.recall.finding.hits import Group, Hit, day_of, joined
from sessions.recall.finding.matching import AROUND, OWN, Asked, Ring, text_of
from sessions.recall.finding.ranking import Found
from sessions.recall.finding.words import words_of_all
from sessions.setups.models import Chain, GroupFacts
from sessions.songs.models import Part, Song
from sessions.takes.models import TakeFile, TakePart


class Within:
    """The rows of songs or sessions that were found, of the best one first."""

    def __init__(self, asked: Asked, found: Sequence[Found], user):
        self.asked, self.user = asked, user
        self.keys = [each.key for each in found]
        self.order = {key: n for n, key in enumerate(self.keys)}
        self.rings = {each.key: each.rings for each in found}

    def _holding(
        self,
        rows: Iterable,
        *,
        owner: Callable[..., int],
        own: Callable[..., set[str]],
        around: Callable[..., set[str]] = lambda row: set(),
        day: Callable | None = None,
    ) -> list:
        """Those that hold all the terms, one of them by themselves, the others by what they are in."""
        held = []
        for row in rows:
            rings = self.rings[owner(row)]
            days = rings[1].days if day is None else _day(day(row))
            beside = Ring(AROUND, text_of(around(row)) + rings[0].words, days)
            if score := self.asked.holds(Ring(OWN, text_of(own(row))), beside):
                held.append((self.order[owner(row)], -score, row.pk, row))
        return [row for *_, row in sorted(held, key=lambda each: each[:3])]

    def chains_of(self, by_owner: dict[int, set[int]]) -> list[Chain]:
        owners = defaultdict(list)
        for owner, keys in by_owner.items():
            for key in keys:
                owners[key].append(owner)
        keys = list(owners)
        words, around = facts.words_of_chains(keys), facts.words_of_setups(keys)
        chains = Chain.objects.visible_to(self.user).filter(pk__in=keys)
        return self._holding(
            chains.select_related("setup__session", "group", "source"),
            owner=lambda chain: min(owners[chain.pk], key=self.order.get),
            own=lambda chain: words[chain.pk],
            around=lambda chain: around[chain.pk],
            day=lambda chain: chain.setup.session.starts_at,
        )


class InSessions(Within):
    def chains(self) -> list[Chain]:
        """Also those that nothing was recorded through yet."""
        return self.chains_of(texts.chains_of_sessions(self.keys))


class InSongs(Within):
    def groups(self, in_sessions: InSessions) -> list[Group]:
        chains = dict.fromkeys((*self.chains_of(texts.chains_of(self.keys)), *in_sessions.chains()))
        return [
            self.parts(),
            self.takes(),
            Group.of("Chains and their notes", [_chain_hit(chain) for chain in chains]),
            self.deliverables(),
            self.files(),
        ]

    def parts(self) -> Group:
        parts = Part.objects.visible_to(self.user).filter(song__in=self.keys)
        held = self._holding(
            parts.select_related("song", "performer"),
            owner=lambda part: part.song_id,
            own=lambda part: (
                words_of_all([part.name, part.note]) | ({person_ref(part.performer_id)} - {""})
            ),
        )
        return Group.of("Parts", [_part_hit(part) for part in held])

    def takes(self) -> Group:
        """Each part by its take's number (take 3), its mark, or a note of either."""
        takes = TakePart.objects.visible_to(self.user).filter(take__song__in=self.keys)

        def own(part: TakePart) -> set[str]:
            outcome = texts.words_of_outcome(part.mark, part.circled, part.note)
            return texts.words_of_take(part.take) | outcome

        held = self._holding(
            takes.select_related("part", "take__song", "take__session"),
            owner=lambda part: part.take.song_id,
            own=own,
            around=lambda part: words_of_all([part.part.name]),
            day=lambda part: part.take.session.starts_at,
        )
        return Group.of("Takes", [_take_hit(part) for part in held])

    def deliverables(self) -> Group:
        made = Deliverable.objects.visible_to(self.user).filter(song__in=self.keys)
        held = self._holding(
            made.select_related("song"),
            owner=lambda each: each.song_id,
            own=texts.words_of_deliverable,
            day=lambda each: each.created_at,
        )
        return Group.of("Deliverables", [_deliverable_hit(each) for each in held])

    def files(self) -> Group:
        """Those of deliverables; to the house, which has a page for them, those of takes."""
        sent = DeliverableFile.objects.visible_to(self.user)
        held: list = self._holding(
            sent.filter(deliverable__song__in=self.keys).select_related("deliverable__song"),
            owner=lambda file: file.deliverable.song_id,
            own=lambda file: words_of_all([file.original_name]),
            day=lambda file: file.uploaded_at,
        )
        hits = [_file_hit(file) for file in held]
        if self.user.has_perm("studio_sessions.view_all_projects"):
            recorded = TakeFile.objects.filter(take__song__in=self.keys)
            held = self._holding(
                recorded.select_related("take__song"),
                owner=lambda file: file.take.song_id,
                own=lambda file: words_of_all([file.path]),
                day=lambda file: file.take.logged_at,
            )
            hits += [_take_file_hit(file) for file in held]
        return Group.of("Files", hits)


def _day(moment) -> str:
    return timezone.localtime(moment).date().isoformat()


def _of(song: Song) -> str:
    return f" of {song}"


def _part_hit(part: Part) -> Hit:
    address = reverse("recall:part", args=[part.pk])
    return Hit(f"{part}{_of(part.song)}", joined(part.performer, part.note), address)


def _take_hit(part: TakePart) -> Hit:
    take, mark = part.take, part.get_mark_display().lower()
    said = (
        mark,
        "circled" if part.circled else "",
        part.note,
        take.note,
        day_of(take.session.starts_at),
    )
    address = reverse("takes:song_list", args=[take.song_id])
    return Hit(f"{part}{_of(take.song)}", joined(*said), address)


def _chain_hit(chain: Chain) -> Hit:
    session = chain.setup.session
    said = joined(GroupFacts.of(chain), chain.setup, session, day_of(session.starts_at))
    return Hit(str(chain), said, chain.get_absolute_url())


def _deliverable_hit(each: Deliverable) -> Hit:
    said = joined(each.note, day_of(each.created_at))
    return Hit(f"{each}{_of(each.song)}", said, each.get_absolute_url())


def _file_hit(file: DeliverableFile) -> Hit:
    made = file.deliverable
    said = joined(f"{made}{_of(made.song)}", day_of(file.uploaded_at))
    return Hit(str(file), said, made.get_absolute_url())


def _take_file_hit(file: TakeFile) -> Hit:
    said = joined(f"{file.take}{_of(file.take.song)}", file.folder)
    return Hit(str(file), said, reverse("take_files:session", args=[file.session_id]))
