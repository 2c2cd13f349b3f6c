"""Two people saving at once: whoever meets a constraint of the database is answered in words.

Every constraint stands here: those that a page can meet, with a test that makes one meet it, and
the others with the reason why none can.
"""

import threading
import time

import pytest
from django.apps import apps
from django.db import connection, transaction
from django.forms import BaseForm
from django.urls import reverse
from django.utils.timezone import localtime

from gear.patchbay.models import TieLine
from sessions import constraints
from sessions.bookings.models import RecordingSession, Status
from sessions.editing.presses import FIELD
from sessions.setups.models import ChainGroup
from sessions.takes.models import Mark, TakePart
from tests.factories import (
    BayFactory,
    CancellationTermsFactory,
    ClientFactory,
    GearModelFactory,
    HeadphoneMixFactory,
    PartFactory,
    PatchPointFactory,
    PersonFactory,
    ProjectFactory,
    RateCardFactory,
    RateFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RevisionFactory,
    RoomFactory,
    SetupFactory,
    SongFactory,
    TakeFactory,
    UnitFactory,
    UserFactory,
)
from tests.sessions.bookings.days import hours
from tests.sessions.terms.test_card_pages import CARD

NEW_PASSWORD = "two-lanterns-over-the-quay"


# What a page sends, what somebody else saves in the same moment, and what the page then says.


def sign_in():
    typed = {"username": "otto", "role": "engineer"}
    typed |= {"password1": NEW_PASSWORD, "password2": NEW_PASSWORD}
    return (
        (reverse("sign_in_create"), typed),
        lambda: UserFactory(username="otto"),
        "A user with that username already exists.",
    )


def client():
    return (
        (reverse("clients:create"), {"name": "Neap Records"}),
        lambda: ClientFactory(name="Neap Records"),
        "There is one of that name already",
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
        (reverse("rooms:create"), {"name": "Quay Room"}),
        lambda: RoomFactory(name="Quay Room"),
        "There is one of that name already",
    )


def rate_card():
    return (
        (reverse("terms:card_create"), CARD),
        lambda: RateCardFactory(name=CARD["name"]),
        "There is one of that name already",
    )


def cancellation_terms():
    typed = {"name": "House 2026", "counted_from": "start", "grace_minutes": 0}
    return (
        (reverse("terms:create"), typed),
        lambda: CancellationTermsFactory(name="House 2026"),
        "There is one of that name already",
    )


def rate(kind, make):
    def of():
        card, thing = RateCardFactory(), make()
        typed = {"thing": f"{kind}-{thing.pk}", "basis": "hour", "amount": "45"}
        of_nothing = dict.fromkeys(["room", "person", "unit", "gear_model"])
        return (
            (reverse("terms:rate_create", args=[card.pk]), typed),
            lambda: RateFactory(card=card, **(of_nothing | {kind: thing})),
            "The card has a rate for this on that basis",
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


def gear_model():
    typed = {"maker": "Tidewell", "name": "Wrackline", "category": "preamplifier"}
    typed |= {"phantom": "harmless", "warm_up_minutes": 0, "channels": 1, "phantom_bank": 1}
    return (
        (reverse("equipment:model_create"), typed),
        lambda: GearModelFactory(maker="Tidewell", name="Wrackline"),
        "This model is in the inventory already",
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


MET = {
    "User.username": sign_in,
    "Client.name": client,
    "Person.user": sign_in_of_a_person,
    "project_once_a_client": project,
    "song_once_a_project": song,
    "part_once_a_song": part,
    "Room.name": room,
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
}
OTHERWISE = [renamed_setup, copied_setup]  # other pages that meet one of them

OF_ONE_ROW = "its form or action refuses what contradicts itself, whatever others save"
LOCKED = "whoever saves it has locked the row that it belongs to, and looks after that"
NEW = "its rows are made with the new row that they belong to, by one person"
AGAIN = "get_or_create or update_or_create looks again by itself"
UNUSED = "no page writes it yet"
RANDOM = "it is a random secret"
NOT_MET = {
    "unit_not_its_own_supply": OF_ONE_ROW,
    "fault_closed_has_a_time": OF_ONE_ROW,
    "panel_version_once": LOCKED,
    "control_key_once": LOCKED,
    "control_position_once": LOCKED,
    "patch_point_once": LOCKED,
    "Normal.source": LOCKED,
    "Normal.destination": LOCKED,
    "normal_joins_two_points": OF_ONE_ROW,
    "TieLine.point": LOCKED,
    "block_ends_after_it_starts": OF_ONE_ROW,
    "weekly_hours_of_room_or_person": OF_ONE_ROW,
    "room_opens_once": LOCKED,
    "person_begins_once": LOCKED,
    "house_rules_once": OF_ONE_ROW,
    "challenge_hours_24_to_48": OF_ONE_ROW,
    "rate_of_one_thing": OF_ONE_ROW,
    "rate_not_negative": OF_ONE_ROW,
    "cancellation_step_runs_forward": OF_ONE_ROW,
    "session_ends_after_it_starts": OF_ONE_ROW,
    "one_open_challenge_a_hold": LOCKED,
    "challenge_leaves_time_to_answer": OF_ONE_ROW,
    "hold_does_not_challenge_itself": OF_ONE_ROW,
    "credit_once_a_session": AGAIN,
    "reservation_ends_after_it_starts": OF_ONE_ROW,
    "reservation_of_one_resource": OF_ONE_ROW,
    "reservation_for_session_or_block": OF_ONE_ROW,
    "reservation_rank_from_one": OF_ONE_ROW,
    "reservation_room_once": LOCKED,
    "reservation_person_once": LOCKED,
    "reservation_unit_once": LOCKED,
    "worked_hours_end_after_they_start": OF_ONE_ROW,
    "FeedAddress.token_hash": RANDOM,
    "feed_of_room_or_person": OF_ONE_ROW,
    "stage_position_once": LOCKED,
    "revision_number_once": LOCKED,
    "Placement.revision": LOCKED,
    "photo_of_a_chain_has_its_revision": OF_ONE_ROW,
    "headphone_line_of_one_source": OF_ONE_ROW,
    "take_number_once": LOCKED,
    "take_ends_after_it_starts": OF_ONE_ROW,
    "false_start_not_chosen": OF_ONE_ROW,
    "punch_in_goes_into_a_take": OF_ONE_ROW,
    "part_once_a_take": NEW,
    "revision_once_a_take": NEW,
    "comp_choice_of_line_or_section": UNUSED,
    "comp_choice_line_once": UNUSED,
    "comp_choice_section_once": UNUSED,
    "deliverable_version_once": LOCKED,
    "audio_file_of_deliverable_or_take": OF_ONE_ROW,
    "money_paper_number_once": LOCKED,
    "Letter.message_id": RANDOM,
    "paper_stored_once": AGAIN,
    "press_once": AGAIN,
    "Worker.name": AGAIN,
    "Rebuild.setup": LOCKED,
    "rebuild_finished_is_a_setup": OF_ONE_ROW,
    "RebuildStep.rebuilt": LOCKED,
    "rebuild_step_once": NEW,
    "tick_once_a_control": AGAIN,
    # The triggers, by what they say.
    constraints.REVISION_FIXED: LOCKED,
    constraints.TAKE_FIXED: "no page changes it",
    constraints.PANEL_FIXED: LOCKED,
    constraints.PHOTO_KEPT: LOCKED,
    constraints.PHOTO_MOVED: "no page changes it",
    constraints.REVISION_OPEN: LOCKED,
    constraints.TAKE_OF_SONG: "no page moves a part or a take to another song",
    constraints.PUNCHED: LOCKED,
    constraints.COMP: UNUSED,
    constraints.PAPER_ISSUED: "no page changes it",
    constraints.PAPER_NUMBER: LOCKED,
}
# Their views look within the transaction that saves: on SQLite nobody writes in between.
MET_ON_POSTGRESQL = {
    "gear_model_once": gear_model,
    "Unit.asset_tag": unit,
    "Bay.name": bay,
}
MET_BELOW = [
    "one_master_a_part",
    *(f"reservation_overlap: the {each} is taken at that rank" for each in constraints.RESOURCES),
]


def all_constraints():
    for label in ("studio", "gear", "studio_sessions"):
        for model in apps.get_app_config(label).get_models():
            if hasattr(model, "instance_type"):  # a history keeps everything
                continue
            for field in model._meta.local_fields:
                if field.unique and not field.primary_key:
                    yield f"{model.__name__}.{field.name}"
            yield from (constraint.name for constraint in model._meta.constraints)
    triggers = constraints.FIXED + constraints.TAKES + constraints.ISSUED + constraints.OVERLAPS
    yield from {trigger.message for trigger in triggers}


def test_every_constraint_has_a_test_or_a_reason():
    told = [*MET, *MET_ON_POSTGRESQL, *MET_BELOW, *NOT_MET]

    assert sorted(told) == sorted(all_constraints())


@pytest.fixture
def somebody_else(monkeypatch):
    """`somebody_else(save)`: saves in the moment after a form was found valid, once."""
    is_valid = BaseForm.is_valid

    def saves(save):
        waiting = [save]

        def valid_and_late(form):
            valid = is_valid(form)
            if valid and waiting:
                waiting.pop()()
            return valid

        monkeypatch.setattr(BaseForm, "is_valid", valid_and_late)
        return waiting

    return saves


@pytest.mark.django_db
@pytest.mark.parametrize("case", [*MET.values(), *OTHERWISE])
def test_second_of_two_is_answered_beside_the_field(client_of, manager, somebody_else, case):
    """A form without a number, whose view looks before any transaction."""
    (address, typed), save, sentence = case()
    waiting = somebody_else(save)

    answer = client_of(manager).post(address, typed | {FIELD: ""})

    assert waiting == []
    assert answer.status_code in (200, 422)
    [[said]] = answer.context["form"].errors.values()
    assert sentence in said


@pytest.fixture
def post_while_others_save(client_of, manager):
    """`post(save, address, typed)`: posts a form while what `save` wrote is not committed yet, so
    that PostgreSQL lets it wait and then refuses it."""

    def post(save, address, typed):
        client, answers = client_of(manager), []

        def ask():
            try:
                answers.append(client.post(address, typed))
            finally:
                connection.close()

        asking = threading.Thread(target=ask)
        with transaction.atomic():
            save()
            asking.start()
            wait_until_somebody_waits()
        asking.join(timeout=10)
        [answer] = answers
        return answer

    return post


@pytest.mark.postgres
@pytest.mark.parametrize("case", [*MET.values(), *OTHERWISE, *MET_ON_POSTGRESQL.values()])
def test_second_of_two_who_had_to_wait_is_answered_beside_the_field(
    on_postgresql, real_database, post_while_others_save, case
):
    (address, typed), save, sentence = case()

    answer = post_while_others_save(save, address, typed)

    [[said]] = answer.context["form"].errors.values()
    assert sentence in said


@pytest.mark.postgres
def test_master_that_somebody_marked_in_the_same_moment_becomes_a_hold(
    on_postgresql, real_database, post_while_others_save
):
    take = TakeFactory()
    part = take.take_parts.get()
    theirs = TakeFactory(part=part.part, session=take.session, number=2)

    answer = post_while_others_save(
        lambda: theirs.take_parts.update(mark=Mark.MASTER),
        reverse("takes:mark", args=[take.pk]),
        {"mark": Mark.MASTER, "seen": f"{part.pk}.{part.version}"},
    )

    assert answer.status_code == 302
    marks = dict(TakePart.objects.values_list("take", "mark"))
    assert marks == {take.pk: Mark.MASTER, theirs.pk: Mark.HOLD}


@pytest.mark.postgres
def test_room_that_somebody_took_in_the_same_moment_is_named(
    on_postgresql, real_database, post_while_others_save
):
    """Somebody who asks no rule of ours: two of our own queue for the room's row."""
    room, project = RoomFactory(name="Quay Room"), ProjectFactory()
    starts_at, ends_at = hours(10, 14)

    answer = post_while_others_save(
        lambda: ReservationFactory(
            session=RecordingSessionFactory(title="First", starts_at=starts_at), room=room
        ),
        reverse("bookings:create"),
        {
            "project": project.pk,
            "title": "Too late",
            "starts_at": f"{localtime(starts_at):%Y-%m-%dT%H:%M}",
            "ends_at": f"{localtime(ends_at):%Y-%m-%dT%H:%M}",
            "status": Status.CONFIRMED,
            "rooms": [room.pk],
            "all_the_same": "on",
        },
    )

    [said] = answer.context["form"].errors["rooms"]
    assert said.startswith("Quay Room is taken by “First”")
    assert RecordingSession.objects.get().title == "First"


def wait_until_somebody_waits():
    waiting = (
        "SELECT COUNT(*) FROM pg_stat_activity "
        "WHERE wait_event_type = 'Lock' AND datname = current_database()"
    )
    until = time.monotonic() + 10
    while time.monotonic() < until:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_stat_clear_snapshot()")
            cursor.execute(waiting)
            if cursor.fetchone() != (0,):
                return
        time.sleep(0.05)
    pytest.fail("nobody waited for the constraint")
