"""Who may open what: the table of pages against the URLs, and every page walked by everybody."""

import pytest
from django.db import transaction
from django.urls import URLPattern, get_resolver, reverse

from sessions.links.models import hash_of
from sessions.setups.models import ChainGroup
from studio.access import PAGES, PUBLIC, may_open
from studio.roles import Role
from tests.factories import (
    ApprovedRecipientFactory,
    BlockFactory,
    CancellationStepFactory,
    ChainFactory,
    ChallengeFactory,
    CreditFactory,
    DeliverableFactory,
    DeliveredItemFactory,
    DeliveryLinkFactory,
    FaultFactory,
    FeedAddressFactory,
    HandoverFactory,
    HeadphoneMixFactory,
    ImportedSheetFactory,
    IncomingMaterialFactory,
    LightCopyFactory,
    LyricLineFactory,
    MediaCopyFactory,
    MixInsertFactory,
    MixNoteFactory,
    MoneyPaperFactory,
    NullTestFactory,
    PatchPointFactory,
    PersonFactory,
    PhotoFactory,
    ProjectFactory,
    RateFactory,
    RebuildStepFactory,
    RecordingSessionFactory,
    RevisionFactory,
    RevisionInDoubtFactory,
    RoomFactory,
    SeriesFactory,
    SetupFactory,
    StageFactory,
    TakeFactory,
    TakeFileFactory,
    UploadFactory,
    UserFactory,
    WorkedHoursFactory,
    WorkstationFileFactory,
)

# What the number in a page's address stands for.
ROW = {
    "sign_in_edit": "user",
    "sign_in_password": "user",
    "clients:detail": "client",
    "clients:edit": "client",
    "clients:person_edit": "person",
    "clients:project_create": "client",
    "clients:project_detail": "project",
    "clients:project_edit": "project",
    "songs:create": "project",
    "songs:detail": "song",
    "songs:edit": "song",
    "songs:part_create": "song",
    "songs:part_edit": "part",
    "songs:lyrics": "song",
    "bookings:detail": "session",
    "bookings:edit": "session",
    "bookings:status": "session",
    "bookings:padding": "session",
    "bookings:hours": "session",
    "bookings:hours_edit": "worked hours",
    "bookings:hours_delete": "worked hours",
    "bookings:credit_create": "session",
    "bookings:credit_delete": "credit",
    "rooms:edit": "room",
    "series:repeat": "session",
    "series:detail": "series",
    "holds:challenge": "session",
    "holds:withdraw": "challenge",
    "feeds:revoke": "feed",
    "terms:card": "card",
    "terms:card_edit": "card",
    "terms:rate_create": "card",
    "terms:rate_edit": "rate",
    "terms:rate_delete": "rate",
    "terms:detail": "terms",
    "terms:edit": "terms",
    "terms:step_create": "terms",
    "terms:step_edit": "step",
    "terms:step_delete": "step",
    "money:session": "session",
    "money:choose": "session",
    "money:hours_create": "session",
    "money:hours_delete": "worked hours",
    "money:issue": "session",
    "money:cancellation": "session",
    "money:paper_pdf": "paper",
    "rooms:room_hours": "room",
    "rooms:person_hours": "person",
    "blocks:edit": "block",
    "blocks:remove": "block",
    "equipment:unit_detail": "unit",
    "equipment:unit_edit": "unit",
    "equipment:model_detail": "model",
    "equipment:model_edit": "model",
    "equipment:fault_create": "unit",
    "equipment:fault_edit": "fault",
    "panels:edit": "model",
    "panels:versions": "model",
    "patchbay:bay_detail": "bay",
    "patchbay:bay_edit": "bay",
    "patchbay:row_edit": "bay",
    "patchbay:normals": "bay",
    "setups:session": "session",
    "setups:fault": "session",
    "setups:setup_create": "session",
    "setups:setup_copy": "session",
    "setups:setup_edit": "setup",
    "setups:input_list": "setup",
    "setups:input_list_csv": "setup",
    "setups:input_list_pdf": "setup",
    "setups:reserve": "session",
    "setups:strike": "setup",
    "setups:undo_strike": "setup",
    "setups:patched_now": "bay",
    "setups:level_plan": "setup",
    "setups:delay": "setup",
    "setups:chain_create": "setup",
    "setups:chain": "chain",
    "setups:chain_edit": "chain",
    "setups:chain_copy": "chain",
    "setups:revision": "revision",
    "setups:stage_edit": "stage",
    "setups:stage_copy": "stage",
    "setups:stage_swap": "stage",
    "setups:chain_set_up": "chain",
    "setups:stage_move": "stage",
    "setups:stage_delete": "stage",
    "setups:placement": "chain",
    "setups:levels": "chain",
    "setups:pin": "chain",
    "setups:set_pinned": "chain",
    "setups:compare": "chain",
    "setups:photos": "setup",
    "setups:photo_take": "setup",
    "setups:photo": "photo",
    "setups:photo_edit": "photo",
    "setups:photo_file": "photo",
    "setups:photo_remove": "photo",
    "setups:for_unit": "unit",
    "editor:chain": "chain",
    "editor:setup": "setup",
    "editor:field": "chain",
    "editor:add": "chain",
    "editor:confirm": "chain",
    "headphones:create": "setup",
    "headphones:edit": "headphone mix",
    "headphones:delete": "headphone mix",
    "setups:mix_copy": "headphone mix",
    "setups:group_create": "setup",
    "setups:group_edit": "group",
    "setups:source": "source",
    "takes:session": "session",
    "takes:session_csv": "session",
    "takes:song_csv": "song",
    "takes:press": "session",
    "takes:next_part": "session",
    "takes:live": "session",
    "takes:session_list": "session",
    "takes:song_list": "song",
    "takes:settle": "revision in doubt",
    "takes:edit": "take",
    "takes:edit_part": "part of a take",
    "take_files:session": "session",
    "take_files:add": "session",
    "take_files:folder": "session",
    "take_files:link": "session",
    "take_files:unlink": "take file",
    "take_files:discard": "take file",
    "comp:sheet": "part",
    "comp:press": "part",
    "comp:suggested": "part",
    "comp:note": "part",
    "comp:csv": "part",
    "comp:split": "lyric line",
    "sheets:song_takes": "song",
    "sheets:session_takes": "session",
    "sheets:song_tracks": "song",
    "sheets:song_tracks_csv": "song",
    "sheets:session_tracks": "session",
    "sheets:session_tracks_csv": "session",
    "sheets:lyrics": "song",
    "sheets:lyrics_csv": "song",
    "sheets:part_lyrics": "part",
    "sheets:part_lyrics_csv": "part",
    "sheets:comp": "part",
    "deliverables:list": "song",
    "deliverables:upload": "song",
    "deliverables:progress": "deliverable",
    "uploads:create": "song",
    "uploads:pieces": "upload",
    "deliverables:detail": "deliverable",
    "deliverables:download": "file",
    "deliveries:send": "deliverable",
    "deliveries:detail": "delivery",
    "deliveries:project": "project",
    "deliveries:withdraw": "delivery",
    "deliveries:send_again": "delivery recipient",
    "deliveries:pack": "deliverable",
    "deliveries:song_pack": "song",
    "deliveries:approve": "project",
    "deliveries:disapprove": "approved recipient",
    "deliveries:open_file": "file",
    "media:medium": "medium",
    "media:edit": "medium",
    "media:project": "project",
    "media:file_create": "project",
    "media:file_edit": "workstation file",
    "media:copy_create": "project",
    "media:copy_edit": "copy",
    "media:verify": "copy",
    "media:tell": "copy",
    "media:remove": "copy",
    "media:incoming_create": "project",
    "media:incoming_edit": "incoming material",
    "media:handover_create": "project",
    "media:receipt": "handover",
    "deliveries:open_note": "deliverable",
    "deliveries:open_verdict": "deliverable",
    "mixes:list": "song",
    "mixes:create": "song",
    "mixes:setup": "mix setup",
    "mixes:rename": "mix setup",
    "mixes:edit": "mix setup",
    "mixes:confirm": "mix setup",
    "mixes:insert": "mix insert",
    "mixes:revision": "mix revision",
    "mixes:revision_pdf": "mix revision",
    "mixes:revision_json": "mix revision",
    "mixes:revision_csv": "mix revision",
    "mixes:made_through": "deliverable",
    "listening:light": "file",
    "listening:note": "deliverable",
    "listening:answer": "mix note",
    "listening:bar_one": "deliverable",
    "listening:verdict": "deliverable",
    "checking:project": "project",
    "nulling:start": "stems",
    "nulling:detail": "null test",
    "rebuild:start": "song",
    "rebuild:start_imported": "imported sheet",
    "rebuild:detail": "rebuild",
    "rebuild:units": "rebuild",
    "rebuild:tick": "rebuild step",
    "rebuild:in_place": "rebuild step",
    "rebuild:tone": "rebuild",
    "rebuild:tone_reading": "rebuild step",
    "rebuild:finish": "rebuild",
    "rebuild:report": "rebuild",
    "rebuild:report_pdf": "rebuild",
    "imported:detail": "imported sheet",
    "imported:discard": "imported sheet",
    "recall:song": "song",
    "recall:song_pdf": "song",
    "recall:song_json": "song",
    "recall:part": "part",
    "recall:part_pdf": "part",
    "recall:part_json": "part",
    "reports:session": "session",
    "bookings:summary": "session",
    "reports:session_pdf": "session",
    "bookings:call_sheet": "session",
    "bookings:confirmation": "session",
    "bookings:session_ics": "session",
}
SECRET = "moored-at-the-third-bollard"
FURTHER = {  # what else an address holds
    "patchbay:row_edit": {"row": "A"},
    "feeds:calendar": {"token": SECRET},
    "deliveries:open": {"token": SECRET},
    "deliveries:open_file": {"token": SECRET},
    "deliveries:open_pack": {"token": SECRET},
    "deliveries:received": {"token": SECRET},
    "deliveries:open_note": {"token": SECRET},
    "deliveries:open_verdict": {"token": SECRET},
}
# Rows of a project: a mix engineer sees them only where the project names them.
OF_A_PROJECT = {
    "headphone mix",
    "group",
    "source",
    "project",
    "song",
    "part",
    "session",
    "series",
    "credit",
    "challenge",
    "setup",
    "chain",
    "revision",
    "stage",
    "photo",
    "take",
    "take file",
    "revision in doubt",
    "lyric line",
    "deliverable",
    "mix setup",
    "mix revision",
    "mix insert",
    "file",
    "delivery",
    "delivery recipient",
    "mix note",
    "stems",
    "null test",
    "rebuild",
    "rebuild step",
    "imported sheet",
}


def routes(resolver=None, namespace="") -> dict[str, set[str]]:
    """Every URL name with the names of what its address holds."""
    found = {}
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLPattern):
            found[f"{namespace}{pattern.name}"] = set(pattern.pattern.converters)
        else:
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            found |= routes(pattern, inner)
    return found


def rows_of(project) -> dict:
    """One row of everything that a page can be about, in the project where it belongs to one."""
    session = RecordingSessionFactory(project=project)
    setup = SetupFactory(session=session)
    take = TakeFactory(part__song__project=project, session=session)
    chain = ChainFactory(setup=setup, part=take.parts.get())
    revision = RevisionFactory(chain=chain)
    stage = StageFactory(revision=revision)
    deliverable = DeliverableFactory(song=take.song)
    approved = ApprovedRecipientFactory(project=project)
    link = DeliveryLinkFactory(
        recipient__email=approved.email,
        recipient__delivery__song=take.song,
        token_hash=hash_of(SECRET),
    )
    DeliveredItemFactory(delivery=link.recipient.delivery, deliverable=deliverable)
    mix = MixInsertFactory(
        strip__revision__setup__project=project, strip__revision__setup__songs=[take.song]
    )
    copy = MediaCopyFactory(project=project)
    rate, step = RateFactory(), CancellationStepFactory()
    step_of_rebuild = RebuildStepFactory(rebuild__song=take.song)
    return {
        "rebuild": step_of_rebuild.rebuild,
        "rebuild step": step_of_rebuild,
        "imported sheet": ImportedSheetFactory(song=take.song),
        "card": rate.card,
        "rate": rate,
        "terms": step.terms,
        "step": step,
        "paper": MoneyPaperFactory(session=session),
        "client": project.client,
        "person": PersonFactory(),
        "user": UserFactory(),
        "project": project,
        "song": take.song,
        "part": take.parts.get(),
        "lyric line": LyricLineFactory(section__song=take.song),
        "part of a take": take.take_parts.get(),
        "session": session,
        "credit": CreditFactory(session=session),
        "worked hours": WorkedHoursFactory(session=session),
        "challenge": ChallengeFactory(hold__project=project, challenger__project=project),
        "series": RecordingSessionFactory(project=project, series=SeriesFactory()).series,
        "room": RoomFactory(),
        "block": BlockFactory(),
        "setup": setup,
        "chain": chain,
        "headphone mix": HeadphoneMixFactory(setup=setup),
        "group": ChainGroup.objects.create(setup=setup, name="Overheads"),
        "source": chain.source,
        "revision": revision,
        "stage": stage,
        "photo": PhotoFactory(setup=setup),
        "take": take,
        "take file": TakeFileFactory(session=session),
        "revision in doubt": RevisionInDoubtFactory(
            take=take, revision__chain__setup__session=session
        ),
        "deliverable": deliverable,
        "medium": copy.medium,
        "copy": copy,
        "workstation file": WorkstationFileFactory(project=project),
        "incoming material": IncomingMaterialFactory(project=project),
        "handover": HandoverFactory(project=project),
        "mix setup": mix.strip.revision.setup,
        "mix revision": mix.strip.revision,
        "mix insert": mix,
        "delivery": link.recipient.delivery,
        "delivery recipient": link.recipient,
        "approved recipient": approved,
        "file": LightCopyFactory(source__deliverable=deliverable).source,
        "mix note": MixNoteFactory(deliverable=deliverable),
        "stems": (test := NullTestFactory(stems__song=take.song)).stems,
        "null test": test,
        "upload": UploadFactory(song=take.song),
        "unit": stage.unit,
        "model": stage.unit.model,
        "fault": FaultFactory(unit=stage.unit),
        "bay": PatchPointFactory().bay,
        "feed": FeedAddressFactory(
            token_hash=hash_of(SECRET), person=project.mix_engineers.first() or PersonFactory()
        ),
    }


def address(page, rows) -> str:
    kwargs = {"pk": rows[ROW[page]].pk} if page in ROW else {}
    return reverse(page, kwargs=kwargs | FURTHER.get(page, {}))


def answer_of(client, address) -> int:
    """The status of a page, posted to where it can't be got; leaves no trace in the rows."""
    client.raise_request_exception = False
    with transaction.atomic():
        answer = client.get(address)
        if answer.status_code == 405:
            answer = client.post(address, headers={"Tus-Resumable": "1.0.0"})
        if answer.status_code == 405:
            answer = client.options(address)
        if answer.streaming:
            b"".join(answer.streaming_content)  # read to its end, a file is closed
        transaction.set_rollback(True)
    return answer.status_code


def test_every_url_has_a_row_and_every_row_a_url():
    assert set(PAGES) == set(routes())


def test_every_address_that_names_a_row_says_which():
    with_row = {page for page, held in routes().items() if "pk" in held}

    assert set(ROW) == with_row
    assert {page: held - {"pk"} for page, held in routes().items() if held - {"pk"}} == {
        page: set(held) for page, held in FURTHER.items()
    }


@pytest.mark.django_db
def test_stranger_is_sent_to_sign_in_from_every_page(client):
    rows = rows_of(ProjectFactory())
    wrong = {}
    for page in [page for page, roles in PAGES.items() if roles is not PUBLIC]:
        asked = address(page, rows)
        answer = client.get(asked)
        if (answer.status_code, answer.url) != (302, f"{reverse('login')}?next={asked}"):
            wrong[page] = answer.status_code

    assert wrong == {}
    assert client.get(reverse("login")).status_code == 200


@pytest.mark.django_db
@pytest.mark.parametrize("role", Role)
def test_role_opens_its_pages_and_no_other(client_of, role):
    user = UserFactory(role=role)
    project = ProjectFactory()
    project.mix_engineers.add(PersonFactory(user=user))
    rows = rows_of(project)

    wrong = {}
    for page, roles in PAGES.items():
        status = answer_of(client_of(user), address(page, rows))
        allowed = roles is PUBLIC or role in roles
        if allowed != (status < 400 or status in {400, 409, 422}) or (
            not allowed and status != 403
        ):
            wrong[page] = status

    assert wrong == {}


@pytest.mark.django_db
def test_row_that_is_not_theirs_is_not_there_for_a_mix_engineer(
    client_of, mix_engineer, mixed_project
):
    rows = rows_of(ProjectFactory())
    pages = [
        page
        for page in ROW
        if may_open(mix_engineer, page) and PAGES[page] is not PUBLIC and ROW[page] in OF_A_PROJECT
    ]

    answers = {page: answer_of(client_of(mix_engineer), address(page, rows)) for page in pages}

    assert answers == dict.fromkeys(pages, 404)
    assert len(pages) > 10


@pytest.mark.django_db
def test_page_of_no_row_is_not_there(client_of, engineer):
    assert client_of(engineer).get(reverse("songs:detail", args=[999])).status_code == 404


@pytest.mark.django_db
def test_refused_page_says_so_in_words(client_of, mix_engineer):
    page = client_of(mix_engineer).get(reverse("clients:list"))

    assert page.status_code == 403
    assert "403.html" in [used.name for used in page.templates]


@pytest.mark.django_db
def test_somebody_who_has_left_opens_nothing():
    left = UserFactory(role=Role.MANAGER, is_active=False)

    opened = {page for page in PAGES if may_open(left, page)}
    assert opened == {page for page, roles in PAGES.items() if roles is PUBLIC}


@pytest.mark.django_db
def test_page_without_a_row_is_nobodys(manager):
    assert may_open(manager, "songs:burn") is False
