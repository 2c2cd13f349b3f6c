"""Who is about at Harbour Lane. All invented."""

from sessions.clients.models import Client, Person, Project
from sessions.clients.orders import rules_for
from studio.models import User
from studio.roles import Role

PASSWORD = "lantern-over-the-quay"  # noqa: S105 (for the demo on this machine only)

# User name, first name, last name, role, what they do
STAFF = [
    ("maren", "Maren", "Voss", Role.MANAGER, "Studio manager"),
    ("tobias", "Tobias", "Reed", Role.ENGINEER, "Recording engineer"),
    ("ines", "Ines", "Marsh", Role.ASSISTANT, "Assistant engineer"),
    ("desmond", "Desmond", "Pike", Role.MIX_ENGINEER, "Mix engineer"),
]
# Of this demo and of those before it: a database with no others in it may be made anew.
USERNAMES = {row[0] for row in STAFF} | {"maren", "tobias", "ines", "desmond"}
QUARTET = [
    ("Maud Ferrier", "Alto, lead voice"),
    ("Col Inkpen", "Tenor, concertina"),
    ("Bess Orrin", "Alto, fiddle"),
    ("Wilf Tarrant", "Bass voice"),
]
TRIO = [
    ("Ansel Brook", "Flugelhorn"),
    ("Jory Nance", "Tenor horn"),
    ("Petra Lisle", "Tuba"),
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
            email=f"{username}@harbour-lane.example",
            bookable=role in (Role.ENGINEER, Role.ASSISTANT),
        )
    label = Client.objects.create(
        name="Ebb & Lantern Records",
        email="sessions@ebb-and-lantern.example",
        address="4 Chandlers’ Row\nTollmouth",
        note="Wants the rough mix the same evening.",
    )
    theatre = Client.objects.create(
        name="Salt Stair Theatre", email="office@salt-stair.example", phone="01632 960 114"
    )
    for name, does in QUARTET + TRIO:
        people[name] = Person.objects.create(name=name, does=does, client=label)
    people["Una Sel"] = Person.objects.create(name="Una Sel", does="Speaker", client=theatre)
    return people


def fill_projects(people: dict[str, Person]) -> dict[str, Project]:
    """The EP that is being recorded, and a theatre's readings that compete for the room."""
    ep = Project.objects.create(
        client=Client.objects.get(name="Ebb & Lantern Records"),
        name="Nine Fathom EP",
        artist="The Capstan Four with the Tin Lighthouse Trio",
        note="Five songs. Spoken verses come last.",
        file_naming="CF_SongTitle_TR01_Rough_48k24",
        delivery_rules=rules_for(["rough_mix", "multitrack", "instrumental"]),
    )
    ep.mix_engineers.add(people["desmond"])
    readings = Project.objects.create(
        client=Client.objects.get(name="Salt Stair Theatre"),
        name="Lighthouse readings",
        artist="Una Sel",
    )
    return {"ep": ep, "readings": readings}
