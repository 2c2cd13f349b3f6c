"""The main bar, by role, and the lists that stand as tabs under each of its entries.

Every page belongs under one entry of each role's bar: the entry that names it, else the one that
names its URL namespace. `tests/studio/test_bar.py` walks all pages from here by their links.
"""

from dataclasses import dataclass

from studio.roles import Role


@dataclass(frozen=True)
class Entry:
    """`tabs` are pages with their words, the first is where the entry leads; `below` are further
    pages, or whole namespaces of URLs."""

    word: str
    tabs: dict[str, str]
    below: frozenset[str] = frozenset()

    @property
    def page(self) -> str:
        return next(iter(self.tabs))


HOUSE_TABS = {"rooms:list": "Rooms", "rooms:hours": "Hours", "blocks:list": "Blocks"}
PEOPLE = {"clients:people": "People"}
FEEDS = {"feeds:list": "Calendar feeds"}
REBUILDS = {"rebuild:list": "Rebuilds", "imported:list": "Imported sheets"}
BY_SESSION = frozenset(
    {
        "bookings",
        "calendar_import",
        "series",
        "holds",
        "setups",
        "editor",
        "headphones",
        "takes",
        "take_files",
        "proving:chain",
        "proving:tones",
    }
    | {"reports", "sign_off", "overtime", "musicians"}
)

TODAY = Entry("Today", {"home": "Today"}, frozenset({"search", "changes"}))
SCHEDULE = Entry(
    "Schedule",
    {"schedule:week": "Schedule", "free:search": "Free time", "stand_ins:open": "Stand-ins"},
    frozenset({"schedule"}),
)
LETTERS = {"letters:list": "Letters"}
SESSIONS = Entry("Sessions", {"bookings:list": "Sessions", **LETTERS}, BY_SESSION | {"letters"})
CLIENTS = Entry(
    "Clients", {"clients:list": "Clients"}, frozenset({"clients", "duplicates", "checking"})
)
SONGS = Entry(
    "Songs",
    {
        "songs:list": "Songs",
        "find:search": "Find",
        **REBUILDS,
        "media:list": "Media",
    },
    frozenset(
        {
            "songs",
            "comp",
            "sheets",
            "label_copy",
            "recall",
            "rebuild",
            "then_and_now",
            "imported",
            "proving",
            "deliverables",
            "deliveries",
            "mixes",
            "listening",
            "nulling",
            "media",
            "uploads",
        }
    ),
)
GEAR = Entry(
    "Gear",
    {"equipment:list": "Units", "equipment:models": "Models", "patchbay:list": "Patch bays"},
    frozenset(
        {"equipment", "panels", "patchbay", "setups:patched_now", "setups:for_unit"}
        | {"proving:unit", "proving:measure_unit", "proving:pair"}
    ),
)
GEAR_AND_SETS = Entry(
    "Gear", {**GEAR.tabs, "gear_sets:list": "Gear sets"}, GEAR.below | {"gear_sets"}
)
MONEY = Entry(
    "Money",
    {
        "money:papers": "Quotes and work orders",
        "invoices:list": "Invoices",
        "usage:unbilled": "Unbilled sessions",
        "payments:list": "Payments",
        "terms:cards": "Rate cards",
        "terms:list": "Cancellation terms",
        "payments:accountant": "For the accountant",
    },
    frozenset({"money", "invoices", "payments", "terms"}),
)
STUDIO = Entry(
    "Studio",
    {
        **HOUSE_TABS,
        **PEOPLE,
        "rooms:studio": "The studio",
        "rooms:house_rules": "House rules",
        **FEEDS,
        "usage:months": "Usage",
        "usage:lapsed": "Lapsed holds",
        "sign_ins": "Sign-ins",
        "backups": "Backups",
        "changes:list": "Changes",
    },
    frozenset(
        {"rooms", "blocks", "feeds", "usage"}
        | {
            "clients:person_create",
            "clients:import_people",
            "duplicates:people",
            "duplicates:person",
            "clients:person_detail",
            "clients:person_edit",
        }
        | {"first_steps", "first_steps_put_away", "back_up_now"}
        | {"sign_in_invite", "sign_in_edit", "sign_in_password", "sign_in_link", "sign_in_revoke"}
        | {"sign_in_end", "sign_in_factor_remove"}
    ),
)

# What the manager finds under Studio and Clients stands for the others where they look for it.
CONTROL_ROOM = [
    TODAY,
    Entry(
        "Schedule",
        {**SCHEDULE.tabs, **HOUSE_TABS, **FEEDS},
        frozenset({"schedule", "rooms", "blocks", "feeds"}),
    ),
    Entry(
        "Sessions",
        {**SESSIONS.tabs, **CLIENTS.tabs, **PEOPLE},
        SESSIONS.below | {"clients", "checking"},
    ),
    SONGS,
    GEAR,
]
BARS = {
    Role.MANAGER: [TODAY, SCHEDULE, SESSIONS, CLIENTS, SONGS, GEAR_AND_SETS, MONEY, STUDIO],
    Role.ENGINEER: CONTROL_ROOM,
    Role.ASSISTANT: CONTROL_ROOM,
    Role.MIX_ENGINEER: [
        Entry(
            "Today",
            {
                **TODAY.tabs,
                "bookings:list": "Sessions",
                "schedule:week": "Schedule",
                **FEEDS,
            },
            TODAY.below | BY_SESSION | {"schedule", "feeds", "clients", "checking"},
        ),
        Entry(
            "Songs",
            {"songs:list": "Songs", "find:search": "Find"},
            frozenset(
                {
                    "songs",
                    "comp",
                    "sheets",
                    "label_copy",
                    "recall",
                    "deliverables",
                    "deliveries",
                    "mixes",
                    "listening",
                    "nulling",
                    "uploads",
                }
            ),
        ),
        Entry("Rebuilds", REBUILDS, frozenset({"rebuild", "then_and_now", "imported", "proving"})),
        GEAR,
    ],
}


def entry_of(page: str, bar: list[Entry]) -> Entry | None:
    """The entry that a page (its URL name with its namespace) belongs under."""
    named = (entry for entry in bar if page in entry.tabs or page in entry.below)
    namespace = page.partition(":")[0]
    return next(named, None) or next((each for each in bar if namespace in each.below), None)
