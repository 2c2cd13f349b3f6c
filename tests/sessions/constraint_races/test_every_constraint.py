"""Every constraint stands here: those that a page can meet are met in `test_second_of_two`, the others
have the reason why none can."""

from django.apps import apps

from sessions import constraints
from tests.sessions.constraint_races.cases import MET, MET_ON_POSTGRESQL

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
    "block_ill_is_leave": OF_ONE_ROW,
    "weekly_hours_of_room_or_person": OF_ONE_ROW,
    "room_opens_once": LOCKED,
    "person_begins_once": LOCKED,
    "house_rules_once": OF_ONE_ROW,
    "studio_once": OF_ONE_ROW,
    "challenge_hours_24_to_48": OF_ONE_ROW,
    "rate_of_one_thing": OF_ONE_ROW,
    "rate_not_negative": OF_ONE_ROW,
    "cancellation_step_runs_forward": OF_ONE_ROW,
    "agreement_of_one_thing": OF_ONE_ROW,
    "agreement_once": AGAIN,
    "Agreement.client": AGAIN,
    "Agreement.project": AGAIN,
    "session_ends_after_it_starts": OF_ONE_ROW,
    "one_open_challenge_a_hold": LOCKED,
    "challenge_leaves_time_to_answer": OF_ONE_ROW,
    "hold_does_not_challenge_itself": OF_ONE_ROW,
    "credit_once_a_session": AGAIN,
    "credited_on_song_or_part": OF_ONE_ROW,
    "credited_song_once": LOCKED,
    "credited_part_once": LOCKED,
    "attendance_has_a_time": OF_ONE_ROW,
    "attendance_out_after_in": OF_ONE_ROW,
    "attendance_out_needs_in": OF_ONE_ROW,
    "musician_is_in_once": LOCKED,
    "break_ends_after_it_starts": OF_ONE_ROW,
    "one_break_at_a_time": LOCKED,
    "Release.signature": NEW,
    "reservation_ends_after_it_starts": OF_ONE_ROW,
    "reservation_of_one_resource": OF_ONE_ROW,
    "reservation_for_session_or_block": OF_ONE_ROW,
    "reservation_rank_from_one": OF_ONE_ROW,
    "reservation_missing_has_no_rank": OF_ONE_ROW,
    "reservation_room_once": LOCKED,
    "reservation_person_once": LOCKED,
    "reservation_unit_once": LOCKED,
    "worked_hours_end_after_they_start": OF_ONE_ROW,
    "PasswordLink.token_hash": RANDOM,
    "SignedIn.number": RANDOM,
    "known_device_once": AGAIN,
    "FeedAddress.token_hash": RANDOM,
    "feed_of_room_person_or_house": OF_ONE_ROW,
    "source_has_one_amplifier": OF_ONE_ROW,
    "stage_position_once": LOCKED,
    "revision_number_once": LOCKED,
    "Placement.revision": LOCKED,
    "photo_of_a_chain_has_its_revision": OF_ONE_ROW,
    "headphone_line_of_one_source": OF_ONE_ROW,
    "part_relates_to_a_part": OF_ONE_ROW,
    "part_relates_to_another": OF_ONE_ROW,
    "take_number_once": LOCKED,
    "TakePress.number": "the view answers a repeat with what the first was told",
    "take_ends_after_it_starts": OF_ONE_ROW,
    "false_start_not_chosen": OF_ONE_ROW,
    "punch_in_goes_into_a_take": OF_ONE_ROW,
    "pre_roll_in_bars_or_seconds": OF_ONE_ROW,
    "part_once_a_take": NEW,
    "revision_once_a_take": NEW,
    "revision_in_doubt_once": NEW,
    "comp_choice_of_line_or_section": OF_ONE_ROW,
    "comp_choice_line_once": LOCKED,
    "comp_choice_section_once": LOCKED,
    "comp_grade_of_line_or_section": OF_ONE_ROW,
    "comp_grade_line_once": LOCKED,
    "comp_grade_section_once": LOCKED,
    "deliverable_version_once": LOCKED,
    "Deliverable.batch": RANDOM,
    "medium_of_one_owner": OF_ONE_ROW,
    "copy_removed_once_client_was_told": OF_ONE_ROW,
    "mix_revision_number_once": LOCKED,
    "mix_send_once": LOCKED,
    "LightCopy.source": AGAIN,
    "mixnote_has_a_name": OF_ONE_ROW,
    "mixnote_in_the_mix": OF_ONE_ROW,
    "verdict_has_a_name": OF_ONE_ROW,
    "person_or_name_and_email": OF_ONE_ROW,
    "delivered_once": NEW,
    "delivery_recipient_once": NEW,
    "DeliveryLink.token_hash": RANDOM,
    "received_once": AGAIN,
    "file_of_a_part_is_of_a_take": OF_ONE_ROW,
    "money_paper_number_once": LOCKED,
    "invoice_number_once": LOCKED,
    "credit_note_credits_an_invoice": OF_ONE_ROW,
    "invoice_line_position_once": NEW,
    "invoice_line_of_one_source": OF_ONE_ROW,
    "OrderSignature.paper": LOCKED,
    "OrderSignature.signature": NEW,
    "Overtime.signature": NEW,
    "overtime_ends_after_it_starts": OF_ONE_ROW,
    "Letter.message_id": RANDOM,
    "paper_stored_once": AGAIN,
    "search_text_once": AGAIN,
    "press_once": AGAIN,
    "Worker.name": AGAIN,
    "Rebuild.setup": LOCKED,
    "rebuild_finished_is_a_setup": OF_ONE_ROW,
    "RebuildStep.rebuilt": LOCKED,
    "rebuild_step_once": NEW,
    "rebuild_step_from_outside_has_no_unit": OF_ONE_ROW,
    "rebuild_step_left_out_has_no_unit": OF_ONE_ROW,
    "tick_once_a_control": AGAIN,
    "measurement_of_one_thing": OF_ONE_ROW,
    "measurement_of_a_rebuilt_chain": OF_ONE_ROW,
    "measurement_by_its_depth": OF_ONE_ROW,
    "measurement_done_by_somebody": OF_ONE_ROW,
    "measurement_undone_by_somebody": OF_ONE_ROW,
    "payment_of_something": OF_ONE_ROW,
    "Payment.reverses": LOCKED,
    "allocation_of_something": OF_ONE_ROW,
    "allocation_to_invoice_or_refund": OF_ONE_ROW,
    # The triggers, by what they say.
    constraints.REVISION_FIXED: LOCKED,
    constraints.TAKE_FIXED: "no page changes it",
    constraints.MIX_FIXED: LOCKED,
    constraints.MIX_OPEN: LOCKED,
    constraints.MEASUREMENT_KEPT: LOCKED,
    constraints.PANEL_FIXED: LOCKED,
    constraints.PHOTO_KEPT: LOCKED,
    constraints.PHOTO_MOVED: "no page changes it",
    constraints.REVISION_OPEN: LOCKED,
    constraints.TAKE_OF_SONG: "no page moves a part or a take to another song",
    constraints.PUNCHED: LOCKED,
    constraints.COMP: UNUSED,
    constraints.PAPER_ISSUED: "no page changes it",
    constraints.PAPER_NUMBER: LOCKED,
    constraints.PAYMENT_KEPT: "no page changes it",
    constraints.ALLOCATION_KEPT: "no page changes it",
    constraints.ALLOCATED: LOCKED,
    constraints.UNDONE: LOCKED,
    constraints.OVERPAID: LOCKED,
    constraints.OF_ONE_CLIENT: LOCKED,
    constraints.INVOICE_ISSUED: "no page changes it",
    constraints.INVOICE_NUMBER: LOCKED,
    constraints.INVOICE_WHOLE: NEW,
    constraints.BILLED_ONCE: LOCKED,
    constraints.NO_MORE_THAN_LEFT: LOCKED,
    constraints.HISTORY_KEPT: "no page changes it",
    constraints.ERASURE_KEPT: "no page changes it",
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
    triggers += constraints.INVOICED + constraints.PAID + constraints.ERASURES
    triggers += constraints.history_triggers()
    yield from {trigger.message for trigger in triggers}


def test_every_constraint_has_a_test_or_a_reason():
    told = [*MET, *MET_ON_POSTGRESQL, *MET_BELOW, *NOT_MET]

    assert sorted(told) == sorted(all_constraints())
