"""The things that an imported sheet names, as models that are never saved: units, jacks, sessions.

What is the same thing in several chains is the same object with the same key. The keys count within
one sheet and mean nothing to the database; relations are filled as if they had been prefetched.
"""

from collections.abc import Hashable, Iterable
from datetime import UTC, datetime

from django.db.models import Model
from django.utils.dateparse import parse_datetime

from gear.equipment.models import GearModel, Unit, UnitState
from gear.panels.models import Control, Panel
from gear.patchbay.wiring import Jack
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Person, Project
from sessions.setups.models import Chain, Setup
from sessions.setups.models.snapshot import ModelFacts, UnitFacts
from sessions.songs.models import Part, Song

_JACK = ("bay", "row", "column", "label", "level", "side")
_ELECTRICAL = tuple(ModelFacts.__dataclass_fields__)


def related(thing: Model, **rows: Iterable) -> None:
    """Give it rows that point to it, as a prefetch would."""
    cache = thing.__dict__.setdefault("_prefetched_objects_cache", {})
    cache.update({name: list(found) for name, found in rows.items()})


def moment(text: str | None) -> datetime | None:
    """None where it is no moment that anything was recorded at."""
    try:
        at = parse_datetime(text or "")
    except ValueError:
        return None
    if at is None or not 1900 <= at.year <= 2200:
        return None
    return at if at.tzinfo else at.replace(tzinfo=UTC)


class Things:
    def __init__(self, project: Project, song: Song):
        self.project, self.song = project, song
        self._keys: dict[Hashable, int] = {}
        self._sessions: dict[int, RecordingSession] = {}
        self._setups: dict[int, Setup] = {}
        self._parts: dict[str, Part] = {}
        self._units: dict[int, Unit] = {}
        self._jacks: dict[int, Jack] = {}
        self.named: dict[str, UnitFacts] = {}  # as a patch list names units
        self.chains: dict[str, Chain] = {}  # and chains

    def key(self, *identity: Hashable) -> int:
        return self._keys.setdefault(identity, len(self._keys) + 1)

    @property
    def jacks(self) -> tuple[Jack, ...]:
        return tuple(self._jacks.values())

    def session(self, data: dict) -> RecordingSession:
        key = self.key("session", data["title"], data["starts_at"])
        if key not in self._sessions:
            starts_at = moment(data["starts_at"])
            self._sessions[key] = RecordingSession(
                pk=key, title=data["title"], project=self.project, starts_at=starts_at
            )
        return self._sessions[key]

    def setup(self, name: str, session: RecordingSession) -> Setup:
        key = self.key("setup", session.pk, name)
        if key not in self._setups:
            self._setups[key] = Setup(pk=key, name=name, session=session)
            related(self._setups[key], photos=())
        return self._setups[key]

    def part(self, name: str, performer: str = "") -> Part:
        key = self.key("part", name)
        part = self._parts.setdefault(name, Part(pk=key, song=self.song, name=name))
        if performer and part.performer is None:
            part.performer = Person(pk=key, name=performer)
        return part

    def jack(self, data: dict | None) -> Jack | None:
        """By its place. What says more of it, as a patch list does, wins."""
        if data is None:
            return None
        key = self.key("jack", data["bay"], data["row"], data["column"], data["side"])
        known = self._jacks.get(key)
        if known is None or "mult" in data and not (known.mult or known.tie_line):
            facts = {name: data[name] for name in _JACK}
            self._jacks[key] = Jack(
                key, **facts, mult=data.get("mult", ""), tie_line=data.get("tie_line", "")
            )
        return self._jacks[key]

    def unit(self, data: dict, *, place: Hashable = None, standing: str = "") -> Unit:
        """One without a tag and a serial number may be any: it is told from others by its `place`."""
        model = data["model"]
        known_by = (data["asset_tag"], data["serial_number"])
        own = place if not any(known_by) else None
        key = self.key("unit", model["maker"], model["name"], *known_by, own)
        if key not in self._units:
            supply = data.get("supply")
            self._units[key] = Unit(
                pk=key,
                model=_model(self.key("model", model["maker"], model["name"]), data),
                asset_tag=data["asset_tag"],
                serial_number=data["serial_number"],
                supply=supply and self.unit(supply, place=(place, "supply")),
            )
        unit = self._units[key]
        if standing:
            unit.state = UnitState.ON_THE_BENCH
        return unit

    def facts(self, unit: Unit, channel: int | None) -> UnitFacts:
        """As a stage has them; also found by the name that a patch list says."""
        facts = UnitFacts.of(unit, channel)
        self.named.setdefault(f"{facts}", facts)
        return facts

    def panel(self, data: dict | None, unit: Unit) -> Panel | None:
        if data is None:
            return None
        panel = Panel(pk=unit.pk, model=unit.model, version=data["version"])
        related(panel, controls=controls_of(data["controls"]))
        return panel


def controls_of(data: Iterable[dict]) -> list[Control]:
    return [Control(position=place, **facts) for place, facts in enumerate(data, 1)]


def _model(key: int, unit: dict) -> GearModel:
    facts = unit["model"]
    return GearModel(
        pk=key,
        channels=unit.get("channels", 1),
        phantom_bank=unit.get("inputs_per_phantom_switch", 1),
        **{name: facts[name] for name in _ELECTRICAL if name in facts},
    )
