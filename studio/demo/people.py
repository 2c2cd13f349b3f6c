"""Who is about at Quay Steps. All invented."""

from sessions.clients.models import Client, Person, Project
from sessions.clients.orders import rules_for
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
# Of this demo and of those before it: a database with no others in it may be made anew.
USERNAMES = {row[0] for row in STAFF} | {"odile", "ulric", "piran", "kerensa"}
QUARTET = [
    ("Hesper Dunnage", "Alto, lead voice"),
    ("Corin Strake", "Tenor, concertina"),
    ("Mina Sprigge", "Alto, fiddle"),
    ("Bram Hawse", "Bass voice"),
]
TRIO = [
    ("Ludo Tranter", "Flugelhorn"),
    ("Osric Paull", "Tenor horn"),
    ("Tamsin Orlop", "Tuba"),
]


def fill_people() -> dict[str, Person]:
    """Makes the staff with their sign-ins, the players and the clients; returns people by name."""
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
    label = Client.objects.create(
        name="Thole & Ledger Records",
        email="sessions@thole-and-ledger.example",
        address="4 Chandlers’ Row\nTollmouth",
        note="Wants the rough mix the same evening.",
    )
    theatre = Client.objects.create(
        name="Cinder Walk Pictures", email="office@cinder-walk.example", phone="01632 960 114"
    )
    for name, does in QUARTET + TRIO:
        people[name] = Person.objects.create(name=name, does=does, client=label)
    people["Ottoline Breck"] = Person.objects.create(
        name="Ottoline Breck", does="Speaker", client=theatre
    )
    return people


def fill_projects(people: dict[str, Person]) -> dict[str, Project]:
    """The EP that is being recorded, and a theatre's readings that compete for the room."""
    ep = Project.objects.create(
        client=Client.objects.get(name="Thole & Ledger Records"),
        name="Ninth Tide EP",
        artist="The Windlass Four with the Sluicegate Brass",
        note="Five songs. Spoken verses come last.",
        file_naming="WF_SongTitle_TR01_Rough_48k24",
        delivery_rules=rules_for(["rough_mix", "multitrack", "instrumental"]),
    )
    ep.mix_engineers.add(people["kerensa"])
    readings = Project.objects.create(
        client=Client.objects.get(name="Cinder Walk Pictures"),
        name="Below the Weir",
        artist="Ottoline Breck",
    )
    return {"ep": ep, "readings": readings}
