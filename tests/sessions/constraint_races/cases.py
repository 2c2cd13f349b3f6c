"""What a page sends, what somebody else saves in the same moment, and what the page then says."""

from django.urls import reverse

from gear.patchbay.models import TieLine
from sessions.setups.models import ChainGroup
from tests.factories import (
    ApprovedRecipientFactory,
    BayFactory,
    CancellationTermsFactory,
    ClientFactory,
    GearModelFactory,
    GearSetFactory,
    HeadphoneMixFactory,
    MediumFactory,
    MixSetupFactory,
    PartFactory,
    PatchPointFactory,
    PersonFactory,
    ProjectFactory,
    RateCardFactory,
    RateFactory,
    RecordingSessionFactory,
    RevisionFactory,
    RoomFactory,
    SetupFactory,
    SongFactory,
    SourceFactory,
    UnitFactory,
    UserFactory,
)
from tests.sessions.terms.test_card_pages import CARD


def sign_in():
    user = UserFactory()
    typed = {"username": "otto", "role": "engineer", "seen": user.version}
    return (
        (reverse("sign_in_edit", args=[user.pk]), typed),
        lambda: UserFactory(username="otto"),
        "A user with that username already exists.",
    )


def client():
    return (
        (reverse("clients:create"), {"name": "Neap Records"}),
        lambda: ClientFactory(name="Neap Records"),
        "That name is taken",
    )


def sign_in_of_a_person():
    user = UserFactory()
    return (
        (reverse("clients:person_create"), {"name": "Odile Marrack", "user": user.pk}),
        lambda: PersonFactory(user=user),
        "Select a valid choice.",
    )


def project():
    of = ClientFactory(name="Neap Records")
    typed = {"name": "Ninth Tide EP", "artist": "The Four", "sample_rate": 48000, "bit_depth": 24}
    typed |= {"full_scale_dbu": 18}
    return (
        (reverse("clients:project_create", args=[of.pk]), typed),
        lambda: ProjectFactory(client=of, name="Ninth Tide EP"),
        "Neap Records has a project “Ninth Tide EP” already",
    )


def song():
    of = ProjectFactory(name="Ninth Tide EP")
    return (
        (reverse("songs:create", args=[of.pk]), {"title": "Slow the Lantern"}),
        lambda: SongFactory(project=of, title="Slow the Lantern"),
        "Ninth Tide EP has a song “Slow the Lantern” already",
    )


def part():
    of = SongFactory(title="Slow the Lantern")
    return (
        (reverse("songs:part_create", args=[of.pk]), {"name": "Bass", "position": 1}),
        lambda: PartFactory(song=of, name="Bass"),
        "Slow the Lantern has a part “Bass” already",
    )


def room():
    return (
        (reverse("rooms:create"), {"name": "Bread Room"}),
        lambda: RoomFactory(name="Bread Room"),
        "That name is taken",
    )


def gear_set():
    return (
        (reverse("gear_sets:create"), {"name": "Brass line", "units": UnitFactory().pk}),
        lambda: GearSetFactory(name="Brass line"),
        "That name is taken",
    )


def rate_card():
    return (
        (reverse("terms:card_create"), CARD),
        lambda: RateCardFactory(name=CARD["name"]),
        "That name is taken",
    )


def cancellation_terms():
    typed = {"name": "House 2026", "counted_from": "start", "grace_minutes": 0}
    return (
        (reverse("terms:create"), typed),
        lambda: CancellationTermsFactory(name="House 2026"),
        "That name is taken",
    )


def rate(kind, make):
    def of():
        card, thing = RateCardFactory(), make()
        typed = {"thing": f"{kind}-{thing.pk}", "basis": "hour", "amount": "45"}
        of_nothing = dict.fromkeys(["room", "person", "unit", "gear_model"])
        return (
            (reverse("terms:rate_create", args=[card.pk]), typed),
            lambda: RateFactory(card=card, **(of_nothing | {kind: thing})),
            "The card already has a rate for this on that basis",
        )

    return of


def tie_line():
    of = BayFactory(name="Bay 1")
    points = "1; Box 1 line 3; Live room / Box 1 / 3"
    typed = {"side": "send", "level": "microphone", "points": points, "seen": 1}
    other = PatchPointFactory(bay__name="Bay 2", row="C", column=7)
    return (
        (reverse("patchbay:row_edit", args=[of.pk, "A"]), typed),
        lambda: TieLine.objects.create(room="Live room", box="Box 1", line=3, point=other),
        "Live room, Box 1 3 comes up at Bay 2 C7 already.",
    )


def setup():
    of = RecordingSessionFactory()
    return (
        (reverse("setups:setup_create", args=[of.pk]), {"name": "Morning"}),
        lambda: SetupFactory(session=of, name="Morning"),
        "has a setup “",
    )


def renamed_setup():
    of = SetupFactory(name="Morning")
    typed = {"name": "Evening", "seen": of.version}
    return (
        (reverse("setups:setup_edit", args=[of.pk]), typed),
        lambda: SetupFactory(session=of.session, name="Evening"),
        "has a setup “",
    )


def copied_setup():
    chain = RevisionFactory().chain
    return (
        (
            reverse("setups:setup_copy", args=[chain.setup.session_id]),
            {"setup": chain.setup_id, "name": "Evening"},
        ),
        lambda: SetupFactory(session=chain.setup.session, name="Evening"),
        "This session has a setup called “Evening” already",
    )


def headphone_mix():
    of = SetupFactory()
    return (
        (reverse("headphones:create", args=[of.pk]), {"name": "Singers"}),
        lambda: HeadphoneMixFactory(setup=of, name="Singers"),
        "has a headphone mix “Singers” already",
    )


def chain_group():
    of = SetupFactory()
    return (
        (reverse("setups:group_create", args=[of.pk]), {"name": "Drums", "arrangement": "group"}),
        lambda: ChainGroup.objects.create(setup=of, name="Drums"),
        "has a group “Drums” already",
    )


def source():
    of = SourceFactory()
    return (
        (reverse("setups:source", args=[of.pk]), {"name": "Horn", "seen": of.version}),
        lambda: SourceFactory(setup=of.setup, name="Horn"),
        "has a source “Horn” already",
    )


def gear_model():
    typed = {"maker": "Hobweir", "name": "Wrackline", "category": "preamplifier"}
    typed |= {"phantom": "harmless", "warm_up_minutes": 0, "channels": 1, "phantom_bank": 1}
    return (
        (reverse("equipment:model_create"), typed),
        lambda: GearModelFactory(maker="Hobweir", name="Wrackline"),
        "This model exists already",
    )


def unit():
    model = GearModelFactory()
    typed = {"model": model.pk, "asset_tag": "QS-1", "state": "in_service"}
    return (
        (reverse("equipment:unit_create"), typed),
        lambda: UnitFactory(asset_tag="QS-1"),
        "Another unit carries this tag.",
    )


def bay():
    return (
        (reverse("patchbay:bay_create"), {"name": "Bay 1"}),
        lambda: BayFactory(name="Bay 1"),
        "There is a patch bay of this name already.",
    )


def medium():
    return (
        (reverse("media:create"), {"name": "Drive 4", "kind": "disc", "place": "Shelf 2"}),
        lambda: MediumFactory(name="Drive 4"),
        "That name is taken",
    )


def mix_setup():
    of = SongFactory()
    return (
        (reverse("mixes:create", args=[of.pk]), {"name": "Rough mixes", "songs": [of.pk]}),
        lambda: MixSetupFactory(project=of.project, name="Rough mixes"),
        "has a mix setup “Rough mixes” already",
    )


def approved_recipient():
    of = ProjectFactory()
    person = PersonFactory(email="hesper@tidewater.example")
    return (
        (reverse("deliveries:approve", args=[of.pk]), {"person": person.pk}),
        lambda: ApprovedRecipientFactory(project=of, person=person, name="", email=""),
        "Select a valid choice.",
    )


MET = {
    "recipient_approved_once": approved_recipient,
    "Medium.name": medium,
    "mix_setup_name_once_a_project": mix_setup,
    "User.username": sign_in,
    "Client.name": client,
    "Person.user": sign_in_of_a_person,
    "project_once_a_client": project,
    "song_once_a_project": song,
    "part_once_a_song": part,
    "Room.name": room,
    "GearSet.name": gear_set,
    "RateCard.name": rate_card,
    "CancellationTerms.name": cancellation_terms,
    "rate_room_once": rate("room", RoomFactory),
    "rate_person_once": rate("person", lambda: PersonFactory(bookable=True)),
    "rate_unit_once": rate("unit", UnitFactory),
    "rate_model_once": rate("gear_model", GearModelFactory),
    "tie_line_once": tie_line,
    "setup_name_once_a_session": setup,
    "headphone_mix_name_once_a_setup": headphone_mix,
    "chain_group_name_once_a_setup": chain_group,
    "source_name_once_a_setup": source,
}
OTHERWISE = [renamed_setup, copied_setup]  # other pages that meet one of them
# Their views look within the transaction that saves: on SQLite nobody writes in between.
MET_ON_POSTGRESQL = {
    "gear_model_once": gear_model,
    "Unit.asset_tag": unit,
    "Bay.name": bay,
}
