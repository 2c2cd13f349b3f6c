"""The input list of a setup as a stored paper."""

from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.setups.input_list.lines import COLUMNS
from sessions.setups.input_list.printed import input_lists
from sessions.setups.models import Setup


def _contents(setup: Setup, address: str) -> Contents:
    [ours] = [each for each in input_lists(setup.session) if each.setup == setup]
    return Contents({"list": ours, "heads": COLUMNS})


INPUT_LIST = PaperKind(
    path=f"{__name__}.INPUT_LIST",
    title=lambda setup: f"Input list: {setup.session}, {setup}",
    page="setups:session",
    page_key="session_id",
    template="sessions/setups/input_list/paper.html",
    subjects=Setup.objects.select_related("session__project"),
    contents=_contents,
)
