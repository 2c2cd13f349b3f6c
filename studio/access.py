"""Who may open which page: the whole of it, on one page.

Every URL name of the project stands here with the roles that may use it; the middleware refuses a
page that has no row, and `tests/studio/test_access.py` holds the table against the URLs. Which *rows*
a person sees is decided by `visible_to(user)` in the models (a row that is not theirs answers 404);
a page that their role may not use answers 403.
"""

from functools import cache

from django.conf import settings

from gear.lists.forms import LARGEST_FILE
from sessions.deliverables.uploads.arriving import PIECE_BYTES
from sessions.desk.calendar_import.reading import LARGEST_CALENDAR
from sessions.recall.imported.reading import PDF_LIMIT
from sessions.recall.proving.forms import LARGEST_RETURN
from sessions.rooms.forms import LARGEST_LOGO
from sessions.setups.photos.forms import LARGEST_PHOTO
from sessions.takes.files.forms import LARGEST_UPLOAD
from studio.roles import HOUSE, Role

ALL = frozenset(Role)
MANAGER = frozenset({Role.MANAGER})
ENGINEERS = frozenset({Role.MANAGER, Role.ENGINEER})  # those who answer for what is recorded
CONTROL_ROOM = HOUSE  # whoever works at a session
PUBLIC = frozenset({"public"})  # no sign-in

PAGES = {
    "login": PUBLIC,
    "sign_in_code": PUBLIC,  # by the right password, in the same browser
    "logout": PUBLIC,  # also whoever a limit has signed out meanwhile
    "tracking_worker": PUBLIC,  # holds no data
    # What machines ask: without figures, or with a token of their own
    "health": PUBLIC,
    "ready": PUBLIC,
    "metrics": PUBLIC,
    "home": ALL,
    "theme": ALL,
    "keys": ALL,
    "style": ALL,
    "password": ALL,
    "second_factor": ALL,
    "signed_in": ALL,
    "signed_in_end": ALL,
    "not_sent": ALL,
    "first_steps": MANAGER,
    "first_steps_put_away": MANAGER,
    # Backups
    "backups": MANAGER,
    "back_up_now": MANAGER,
    # Who changed what: of one thing to whoever may open its page (`changes/kinds.py`), of all to a manager
    "changes:list": MANAGER,
    "changes:of": ALL,
    # Who may sign in
    "sign_ins": MANAGER,
    "sign_in_invite": MANAGER,
    "sign_in_edit": MANAGER,
    "sign_in_password": MANAGER,
    "sign_in_link": MANAGER,
    "sign_in_revoke": MANAGER,
    "sign_in_end": MANAGER,
    "sign_in_factor_remove": MANAGER,
    "password_forgotten": PUBLIC,
    "password_asked": PUBLIC,
    "choose_password": PUBLIC,  # the secret in the address is what opens it
    # Clients, people and projects: contacts and terms are the house's business
    "clients:list": HOUSE,
    "clients:create": MANAGER,
    "clients:import_clients": MANAGER,
    "clients:detail": HOUSE,
    "clients:edit": MANAGER,
    "clients:people": HOUSE,
    "clients:person_create": MANAGER,
    "clients:import_people": MANAGER,
    "clients:person_edit": MANAGER,
    "duplicates:clients": MANAGER,
    "duplicates:client": MANAGER,
    "duplicates:people": MANAGER,
    "duplicates:person": MANAGER,
    "clients:person_detail": HOUSE,
    "clients:project_create": MANAGER,
    "clients:project_detail": ALL,
    "clients:project_edit": MANAGER,
    # Letters: a manager reads all, others what they wrote or were written
    "letters:list": HOUSE,
    "letters:detail": HOUSE,
    "letters:html": HOUSE,
    "letters:file": HOUSE,
    "letters:again": HOUSE,
    "letters:told": HOUSE,
    # Songs
    "songs:list": ALL,
    "songs:create": CONTROL_ROOM,
    "songs:detail": ALL,
    "songs:edit": CONTROL_ROOM,
    "songs:part_create": CONTROL_ROOM,
    "songs:part_edit": CONTROL_ROOM,
    "songs:lyrics": CONTROL_ROOM,
    # Bookings
    "bookings:list": ALL,
    "bookings:create": MANAGER,
    "bookings:live": MANAGER,
    "bookings:known": MANAGER,
    "gear_sets:list": MANAGER,
    "gear_sets:create": MANAGER,
    "gear_sets:edit": MANAGER,
    "calendar_import:page": MANAGER,
    "bookings:detail": ALL,
    "bookings:edit": MANAGER,
    "bookings:status": CONTROL_ROOM,
    "bookings:padding": MANAGER,
    "bookings:hours": MANAGER,
    "bookings:hours_edit": MANAGER,
    "bookings:hours_delete": MANAGER,
    "bookings:credit_create": CONTROL_ROOM,
    "bookings:credit_delete": CONTROL_ROOM,
    # Times and releases of musicians are the house's business
    "musicians:session": HOUSE,
    "musicians:csv": HOUSE,
    "musicians:press": CONTROL_ROOM,
    "musicians:by_parts": CONTROL_ROOM,
    "musicians:attendance_create": CONTROL_ROOM,
    "musicians:attendance_edit": CONTROL_ROOM,
    "musicians:attendance_remove": CONTROL_ROOM,
    "musicians:credit_edit": CONTROL_ROOM,
    "musicians:release_log": CONTROL_ROOM,
    "musicians:release_sign": CONTROL_ROOM,
    "musicians:release": HOUSE,
    "musicians:release_edit": ENGINEERS,
    "musicians:release_pdf": HOUSE,
    "free:search": HOUSE,
    "series:repeat": MANAGER,
    "series:detail": ALL,
    "series:rest": MANAGER,
    "rooms:list": HOUSE,
    "rooms:create": MANAGER,
    "rooms:edit": MANAGER,
    # Schedule: a mix engineer sees what others have taken as taken, and no more
    "schedule:day": ALL,
    "schedule:week": ALL,
    "schedule:month": ALL,
    "schedule:move": MANAGER,
    "schedule:check": MANAGER,  # asked by the page while something is dragged
    "schedule:undo": MANAGER,
    # What is missing of sessions to come: a unit is swapped by whoever works there, the rest by a manager
    "stand_ins:open": CONTROL_ROOM,
    "holds:challenge": MANAGER,
    "holds:withdraw": MANAGER,
    "rooms:house_rules": MANAGER,
    "rooms:studio": MANAGER,
    "rooms:logo": MANAGER,
    "rooms:logo_picture": MANAGER,
    # Calendar feeds: everybody may make those of the person that they are
    "feeds:list": ALL,
    "feeds:create": ALL,
    "feeds:revoke": ALL,
    "feeds:calendar": PUBLIC,  # the secret in the address is what opens it
    # Money is the managers' alone
    "terms:cards": MANAGER,
    "terms:card_create": MANAGER,
    "terms:card": MANAGER,
    "terms:card_edit": MANAGER,
    "terms:rate_create": MANAGER,
    "terms:rate_edit": MANAGER,
    "terms:rate_delete": MANAGER,
    "terms:list": MANAGER,
    "terms:create": MANAGER,
    "terms:detail": MANAGER,
    "terms:edit": MANAGER,
    "terms:step_create": MANAGER,
    "terms:step_edit": MANAGER,
    "terms:step_delete": MANAGER,
    "terms:agreed_house": MANAGER,
    "terms:agreed_client": MANAGER,
    "terms:agreed_project": MANAGER,
    "payments:list": MANAGER,
    "payments:detail": MANAGER,
    "payments:what_for": MANAGER,
    "payments:strike": MANAGER,
    "payments:create": MANAGER,
    "payments:refund": MANAGER,
    "payments:account": MANAGER,
    "payments:credit": MANAGER,
    "payments:statement_pdf": MANAGER,
    "payments:statement_csv": MANAGER,
    "payments:send": MANAGER,
    "payments:reminder": MANAGER,
    "payments:accountant": MANAGER,
    "payments:accountant_csv": MANAGER,
    "money:session": MANAGER,
    "money:choose": MANAGER,
    "money:hours_create": MANAGER,
    "money:hours_delete": MANAGER,
    "money:issue": MANAGER,
    "money:papers": MANAGER,
    "money:cancellation": MANAGER,
    "money:agree_charge": MANAGER,
    "money:paper_pdf": MANAGER,
    "invoices:list": MANAGER,
    "invoices:detail": MANAGER,
    "invoices:pdf": MANAGER,
    "invoices:create": MANAGER,
    "invoices:deposit": MANAGER,
    "invoices:credit": MANAGER,
    "invoices:send": MANAGER,
    # Except what a client signs at the session: who holds out the tablet sees what is signed on it
    "sign_off:session": CONTROL_ROOM,
    "sign_off:hours_create": CONTROL_ROOM,
    "sign_off:issue": CONTROL_ROOM,
    "sign_off:sign": CONTROL_ROOM,
    "sign_off:send": CONTROL_ROOM,
    "sign_off:work_order_pdf": CONTROL_ROOM,
    "sign_off:house_copy_pdf": CONTROL_ROOM,
    "overtime:approve": CONTROL_ROOM,
    "overtime:void": ENGINEERS,
    # Opening and working hours, leave, maintenance
    "rooms:hours": HOUSE,
    "rooms:room_hours": MANAGER,
    "rooms:person_hours": MANAGER,
    "blocks:list": HOUSE,
    "blocks:create": MANAGER,
    "blocks:edit": MANAGER,
    "blocks:remove": MANAGER,
    # Equipment, panels, patch bay
    "equipment:list": ALL,
    "equipment:import_units": ENGINEERS,
    "equipment:unit_create": ENGINEERS,
    "equipment:unit_detail": ALL,
    "equipment:unit_edit": ENGINEERS,
    "equipment:models": ALL,
    "equipment:import_models": ENGINEERS,
    "equipment:model_create": ENGINEERS,
    "equipment:model_detail": ALL,
    "equipment:model_edit": ENGINEERS,
    "equipment:fault_create": CONTROL_ROOM,
    "equipment:fault_edit": ENGINEERS,
    "panels:edit": ENGINEERS,
    "panels:draw": ENGINEERS,
    "panels:versions": ALL,
    "patchbay:list": ALL,
    "patchbay:bay_create": ENGINEERS,
    "patchbay:bay_detail": ALL,
    "patchbay:bay_edit": ENGINEERS,
    "patchbay:row_edit": ENGINEERS,
    "patchbay:normals": ENGINEERS,
    # Setups
    "setups:session": ALL,
    "setups:fault": CONTROL_ROOM,
    "setups:setup_create": CONTROL_ROOM,
    "setups:setup_copy": CONTROL_ROOM,
    "setups:setup_edit": CONTROL_ROOM,
    "setups:input_list": CONTROL_ROOM,
    "setups:input_list_csv": ALL,
    "setups:input_list_pdf": ALL,
    "setups:mix_copy": CONTROL_ROOM,
    "setups:group_create": CONTROL_ROOM,
    "setups:group_edit": CONTROL_ROOM,
    "setups:source": CONTROL_ROOM,
    "setups:reserve": CONTROL_ROOM,
    "setups:strike": CONTROL_ROOM,
    "setups:undo_strike": CONTROL_ROOM,
    "setups:patched_now": HOUSE,
    "setups:level_plan": ALL,
    "setups:delay": ALL,
    "setups:use_buffer": CONTROL_ROOM,
    "setups:chain_create": CONTROL_ROOM,
    "setups:chain": ALL,
    "setups:chain_edit": CONTROL_ROOM,
    "setups:chain_copy": CONTROL_ROOM,
    "setups:revision": ALL,
    "setups:stage_edit": CONTROL_ROOM,
    "setups:stage_copy": CONTROL_ROOM,
    "setups:stage_swap": CONTROL_ROOM,
    "setups:chain_set_up": CONTROL_ROOM,
    "setups:stage_move": CONTROL_ROOM,
    "setups:stage_delete": CONTROL_ROOM,
    "setups:placement": CONTROL_ROOM,
    "setups:levels": CONTROL_ROOM,
    "setups:pin": CONTROL_ROOM,
    "setups:set_pinned": CONTROL_ROOM,
    "setups:compare": ALL,
    "setups:photos": ALL,
    "setups:photo_take": CONTROL_ROOM,
    "setups:photo": ALL,
    "setups:photo_edit": CONTROL_ROOM,
    "setups:photo_file": ALL,
    "setups:photo_remove": CONTROL_ROOM,
    "setups:for_unit": ALL,
    "editor:chain": CONTROL_ROOM,
    "editor:setup": CONTROL_ROOM,
    "editor:field": CONTROL_ROOM,
    "editor:add": CONTROL_ROOM,
    "editor:confirm": CONTROL_ROOM,
    "headphones:create": CONTROL_ROOM,
    "headphones:edit": CONTROL_ROOM,
    "headphones:delete": CONTROL_ROOM,
    # Takes
    "takes:session": ALL,
    "takes:session_list": ALL,
    "takes:song_list": ALL,
    "takes:live": ALL,
    "takes:press": CONTROL_ROOM,
    "takes:next_part": CONTROL_ROOM,
    "takes:session_csv": ALL,
    "takes:song_csv": ALL,
    "takes:settle": CONTROL_ROOM,
    "takes:edit": CONTROL_ROOM,
    "takes:edit_part": CONTROL_ROOM,
    "take_files:session": CONTROL_ROOM,
    "take_files:add": CONTROL_ROOM,
    "take_files:folder": CONTROL_ROOM,
    "take_files:link": CONTROL_ROOM,
    "take_files:unlink": CONTROL_ROOM,
    "take_files:discard": CONTROL_ROOM,
    "comp:sheet": ALL,
    "comp:press": CONTROL_ROOM,
    "comp:suggested": CONTROL_ROOM,
    "comp:note": CONTROL_ROOM,
    "comp:split": CONTROL_ROOM,
    "comp:csv": ALL,
    "sheets:song_takes": ALL,
    "sheets:session_takes": ALL,
    "sheets:song_tracks": ALL,
    "sheets:song_tracks_csv": ALL,
    "sheets:session_tracks": ALL,
    "sheets:session_tracks_csv": ALL,
    "sheets:lyrics": ALL,
    "sheets:lyrics_csv": ALL,
    "sheets:part_lyrics": ALL,
    "sheets:part_lyrics_csv": ALL,
    "sheets:comp": ALL,
    # Deliverables: a mix engineer hands in mixes too
    "deliverables:list": ALL,
    "deliverables:upload": ALL,
    "uploads:create": ALL,
    "uploads:pieces": ALL,
    "deliverables:detail": ALL,
    "deliverables:progress": ALL,
    "deliverables:download": ALL,
    # Deliveries: those who answer for what is recorded send it, to whom the manager approved
    "deliveries:send": ENGINEERS,
    "deliveries:detail": HOUSE,
    "deliveries:project": HOUSE,
    "deliveries:withdraw": ENGINEERS,
    "deliveries:release": ENGINEERS,  # before payment, managers alone
    "deliveries:send_again": ENGINEERS,
    "deliveries:pack": ALL,
    "deliveries:song_pack": ALL,
    "deliveries:approve": MANAGER,
    "deliveries:disapprove": MANAGER,
    "deliveries:open": PUBLIC,  # these by the secret in the address
    "deliveries:open_file": PUBLIC,
    "deliveries:open_pack": PUBLIC,
    "deliveries:open_note": PUBLIC,
    "deliveries:open_verdict": PUBLIC,
    "deliveries:received": PUBLIC,
    # What a mix was made through: the house logs it, the mix engineer recalls it, and logs their own
    "mixes:list": ALL,
    "mixes:create": ALL,
    "mixes:setup": ALL,
    "mixes:rename": ALL,
    "mixes:edit": ALL,
    "mixes:confirm": ALL,
    "mixes:insert": ALL,
    "mixes:revision": ALL,
    "mixes:revision_pdf": ALL,
    "mixes:revision_json": ALL,
    "mixes:revision_csv": ALL,
    "mixes:made_through": ALL,
    "listening:light": ALL,
    "listening:note": ALL,
    "listening:answer": ALL,
    "listening:bar_one": ALL,
    "listening:verdict": ALL,
    "checking:project": ALL,
    "nulling:start": ALL,
    "nulling:detail": ALL,
    # Where the audio lives: whoever works at sessions logs it, a manager decides what is removed
    "media:list": HOUSE,
    "media:create": CONTROL_ROOM,
    "media:medium": HOUSE,
    "media:edit": CONTROL_ROOM,
    "media:project": HOUSE,
    "media:file_create": CONTROL_ROOM,
    "media:file_edit": CONTROL_ROOM,
    "media:copy_create": CONTROL_ROOM,
    "media:copy_edit": CONTROL_ROOM,
    "media:verify": CONTROL_ROOM,
    "media:tell": MANAGER,
    "media:remove": MANAGER,
    "media:incoming_create": CONTROL_ROOM,
    "media:incoming_edit": CONTROL_ROOM,
    "media:handover_create": CONTROL_ROOM,
    "media:receipt": HOUSE,
    # Recall and reports
    "find:search": ALL,
    "search:results": ALL,  # of what the role's own pages show
    # Rebuilds: who recorded it, and who mixes it
    "rebuild:list": ALL,
    "rebuild:start": ALL,
    "rebuild:start_imported": ALL,
    "rebuild:detail": ALL,
    "rebuild:units": ALL,
    "rebuild:tick": ALL,
    "rebuild:in_place": ALL,
    "rebuild:tone": ALL,
    "rebuild:tone_reading": ALL,
    "rebuild:live": ALL,
    "rebuild:take_over": ENGINEERS,  # it adds to the gear
    "rebuild:finish": ALL,
    "rebuild:finish_booked": MANAGER,  # these make the session that the house has none of
    "rebuild:finish_asked": ALL,
    "rebuild:report": ALL,
    "rebuild:report_pdf": ALL,
    "rebuild:report_csv": ALL,
    # The sound of a chain: whoever works at sessions measures it, a mix engineer what they rebuild
    "proving:chain": CONTROL_ROOM,
    "proving:tones": CONTROL_ROOM,
    "proving:unit": CONTROL_ROOM,
    "proving:measure_unit": CONTROL_ROOM,
    "proving:pair": CONTROL_ROOM,
    "proving:cables": ALL,
    "proving:detail": ALL,
    "proving:test_file": ALL,
    "proving:take_return": ALL,
    "proving:readings": ALL,
    "proving:undo": ALL,
    "then_and_now:rebuild": ALL,
    "then_and_now:chain": ALL,
    "then_and_now:proposal": ALL,
    "then_and_now:turned": ALL,
    "then_and_now:measure": ALL,
    "then_and_now:measure_tones": ALL,
    "then_and_now:undo": ALL,
    "imported:list": ALL,
    "imported:format": ALL,
    "imported:schema": ALL,
    "imported:example": ALL,
    "imported:detail": ALL,
    "imported:discard": ALL,
    "imported:new_project": MANAGER,  # as clients and projects are
    "imported:new_song": CONTROL_ROOM,
    "recall:song": ALL,
    "recall:song_pdf": ALL,  # posting to it tries again what could not be printed
    "recall:song_json": ALL,
    "recall:part": ALL,
    "recall:part_pdf": ALL,
    "recall:part_json": ALL,
    "reports:session": ALL,
    "label_copy:song": ALL,
    "label_copy:song_csv": ALL,
    "label_copy:song_pdf": ALL,
    "label_copy:project": ALL,
    "label_copy:project_csv": ALL,
    "label_copy:project_pdf": ALL,
    "bookings:summary": ENGINEERS,
    "reports:session_pdf": ALL,
    "bookings:call_sheet": ALL,  # phone numbers are printed for the house only
    "bookings:confirmation": MANAGER,  # it states the price
    "bookings:session_ics": ALL,
    "usage:months": MANAGER,
    "usage:csv": MANAGER,
    "usage:holds": MANAGER,
    "usage:holds_csv": MANAGER,
    "usage:income": MANAGER,
    "usage:income_csv": MANAGER,
    "usage:lapsed": MANAGER,
    "usage:unbilled": MANAGER,
}

# What pages ask by themselves while nobody does anything: it keeps nobody signed in. A whole page that
# a script or htmx asks for again sends the header By-Itself.
BY_ITSELF = frozenset({"takes:live", "rebuild:live", "deliverables:progress"})
ASKED_AGAIN = "asked"  # in the address that a page with `http-equiv="refresh"` asks for, until its paper is made
# What is open to a manager before the second factor that the house asks for.
BEFORE_ALL_ELSE = frozenset({"second_factor", "theme", "keys"})

# What a page takes in one request, in bytes: one of these a file of that size, every other no more
# than fits into memory, and where nobody has signed in a form.
TAKES_FILES = {
    "uploads:pieces": PIECE_BYTES,
    "imported:list": PDF_LIMIT,
    "equipment:import_units": LARGEST_FILE,
    "equipment:import_models": LARGEST_FILE,
    "clients:import_clients": LARGEST_FILE,
    "clients:import_people": LARGEST_FILE,
    "calendar_import:page": LARGEST_CALENDAR,
    "setups:input_list": LARGEST_FILE,
    "setups:photo_take": LARGEST_PHOTO,
    "take_files:add": LARGEST_UPLOAD,
    "rooms:logo": LARGEST_LOGO,
    "proving:take_return": LARGEST_RETURN,
}
BODY_LIMIT = settings.DATA_UPLOAD_MAX_MEMORY_SIZE
PUBLIC_BODY_LIMIT = 64 << 10


def may_open(user, page: str) -> bool:
    """Whether the user's role may use the page of that URL name; a page without a row is nobody's. What is
    public asks nothing of the user, who may not be had where the database is away."""
    return PAGES.get(page) is PUBLIC or page in _open_to(_role_of(user))


def pages_open(request) -> dict:
    """Context: the URL names this user may open, so that a page offers no door that is shut."""
    user = getattr(request, "user", None)
    return {"pages_open": frozenset() if user is None else _open_to(_role_of(user))}


def _role_of(user) -> str | None:
    return user.role if user.is_authenticated and user.is_active else None


@cache  # every part of a page that has a context of its own asks
def _open_to(role: str | None) -> frozenset[str]:
    return frozenset(page for page, roles in PAGES.items() if roles is PUBLIC or role in roles)
