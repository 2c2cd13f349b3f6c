"""Who is about at Quay Steps Studio in Oakum Row. All invented."""

from sessions.clients.models import Client, Person, Project
from sessions.clients.orders import rules_for
from studio.joining.actions import invite
from studio.models import User
from studio.roles import Role

PASSWORD = "nine-steps-to-oakum"  # noqa: S105 (for the demo on this machine only)

# User name, first name, last name, role, what they do
STAFF = [
    ("odile", "Odile", "Marrack", Role.MANAGER, "Studio manager"),
    ("ulric", "Ulric", "Yarrell", Role.ENGINEER, "Recording engineer"),
    ("piran", "Piran", "Tolle", Role.ASSISTANT, "Assistant engineer"),
    ("kerensa", "Kerensa", "Graith", Role.MIX_ENGINEER, "Mix engineer"),
]
# Invited to sign in, and has not followed the link yet.
INVITED = ("Jory Tremlett", "jory@quay-steps.example", Role.ASSISTANT)
USERNAMES = {row[0] for row in STAFF} | {"jory.tremlett"}

# Client: name, e-mail, telephone, address, note
CLIENTS = [
    (
        "Thole & Ledger Records",
        "sessions@thole-and-ledger.example",
        "01632 960 241",
        "11 Tallow Street\nMarrowport",
        "Pays by the fifteenth. Likes the whole band in one room.",
    ),
    (
        "Cinder Walk Pictures",
        "score@cinder-walk.example",
        "01632 960 255",
        "The Old Weigh House\nMarrowport",
        "Timecode runs from hour ten.",
    ),
    (
        "Tern Street Singers",
        "secretary@tern-street.example",
        "01632 960 268",
        "Tern Street Hall\nMarrowport",
        "Thirty voices; they bring their own folders.",
    ),
    (
        "Halfpenny Radio",
        "drama@halfpenny.example",
        "01632 960 283",
        "Studio 2, Bell Yard\nNether Marl",
        "",
    ),
]
LABEL, FILM, CHOIR, RADIO = (row[0] for row in CLIENTS)
# Who, what they do, whose they are
PEOPLE = [
    ("Hesper Dunnage", "Soprano", LABEL),
    ("Tamsin Orlop", "Alto", LABEL),
    ("Corin Strake", "Tenor", LABEL),
    ("Bram Hawse", "Bass, speaker", LABEL),
    ("Ludo Tranter", "Cornet", LABEL),
    ("Mina Sprigge", "Trombone", LABEL),
    ("Osric Paull", "Euphonium", LABEL),
    ("Gwil Hanniford", "Bass guitar", LABEL),
    ("Teo Larkrise", "Drums", LABEL),
    ("Ada Fenwright", "Piano", LABEL),
    ("Rosamund Keel", "Producer", LABEL),
    ("Ottoline Breck", "Narrator", FILM),
    ("Jasper Limmer", "Composer, conductor", FILM),
    ("Wenna Colquitt", "Chorus master", CHOIR),
    ("Silas Ardern", "Organ", CHOIR),
    ("SILAS ARDERN", "Organ, continuo", CHOIR),  # came with a list: to be merged
    ("Bettany Crouch", "Drama producer", RADIO),
    ("Ivo Sallow", "Actor", RADIO),
]
# Short name: client, name, artist, sample rate, file naming, what is ordered, note
PROJECTS = {
    "ep": (
        LABEL,
        "Ninth Tide EP",
        "The Windlass Four with Sluicegate Brass",
        48_000,
        "WF_{song}_{mixer}{revision}_{version}_{rate}k{depth}",
        rules_for(
            ["rough_mix", "instrumental", "stems", "multitrack"],
            containers=["wav"],
            true_peak_ceiling_dbtp=-1.0,
            stems=["Rhythm", "Brass", "Piano"],
            same_length=True,
        ),
        "Five songs. The band first, all in one room; the quartet on top of it.",
    ),
    "film": (
        FILM,
        "Below the Weir (score)",
        "Jasper Limmer",
        96_000,
        "BTW_{song}_{version}_{rate}k{depth}",
        rules_for(["rough_mix", "stems"], time_stamps=True),
        "Four cues and a narration.",
    ),
    "choir": (
        CHOIR,
        "A Winter Ledger",
        "Tern Street Singers",
        96_000,
        "TSS_{song}_{version}",
        rules_for(["rough_mix"]),
        "Four carols for December.",
    ),
    "radio": (
        RADIO,
        "The Signal Box at Marl",
        "Halfpenny Radio Players",
        48_000,
        "SBM_{song}_{version}",
        rules_for(["rough_mix"]),
        "A serial in three episodes.",
    ),
}


def fill_people() -> dict[str, Person]:
    """Makes the staff with their sign-ins, the players and the clients; returns people by name,
    staff by user name."""
    people = {}
    for username, first, last, role, does in STAFF:
        user = User.objects.create_user(
            username, password=PASSWORD, first_name=first, last_name=last, role=role
        )
        people[username] = Person.objects.create(
            name=f"{first} {last}",
            does=does,
            user=user,
            email=f"{username}@quay-steps.example",
            bookable=role in (Role.ENGINEER, Role.ASSISTANT),
        )
    clients = {
        name: Client.objects.create(name=name, email=email, phone=phone, address=address, note=note)
        for name, email, phone, address, note in CLIENTS
    }
    for name, does, client in PEOPLE:
        people[name] = Person.objects.create(name=name, does=does, client=clients[client])
    return people


def invite_assistant(*, by: User) -> None:
    name, email, role = INVITED
    person = Person.objects.create(name=name, email=email, does=role.label)
    address_of = "http://127.0.0.1:8000/choose-password/{}/".format
    invite(person, email=email, role=role, address_of=address_of, by=by)


def fill_projects(people: dict[str, Person]) -> dict[str, Project]:
    """What the clients record here, by short name; the mix engineer mixes the EP and the score."""
    projects = {}
    for short, (client, name, artist, rate, naming, rules, note) in PROJECTS.items():
        projects[short] = Project.objects.create(
            client=Client.objects.get(name=client),
            name=name,
            artist=artist,
            sample_rate=rate,
            file_naming=naming,
            delivery_rules=rules,
            note=note,
        )
    for short in ("ep", "film"):
        projects[short].mix_engineers.add(people["kerensa"])
    return projects
