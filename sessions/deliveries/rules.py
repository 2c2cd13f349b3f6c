"""What may be sent, and to whom."""

from dataclasses import dataclass

from sessions.clients.models import Person, Project
from sessions.deliverables.models import READY, Deliverable, DeliverableKind, FileState

# What a whole record can be made of goes to who pays for it, and to nobody else.
CLIENTS_ONLY = (DeliverableKind.MULTITRACK, DeliverableKind.SESSION_ARCHIVE)


@dataclass(frozen=True)
class Recipient:
    name: str
    email: str
    person: Person | None = None

    def is_of_the_client(self, project: Project) -> bool:
        """One of the client's people, or the client's own address."""
        if self.person and self.person.client_id == project.client_id:
            return True
        return self.email.lower() == project.client.email.lower()


class NotToBeSent(Exception):
    """Its text is a sentence for the user."""


def why_not_ready(deliverable: Deliverable) -> str:
    """A sentence, or "" where all its files may be sent. Reads its files."""
    files = deliverable.files.all()
    if not files:
        return f"{deliverable} has no file."
    for file in files:
        if file.state == FileState.REFUSED:
            return f"{deliverable} can’t be sent: {file} was refused. Upload it again."
        if file.state not in READY:
            return f"{deliverable} can’t be sent yet: {file} is not measured."
    return ""


def why_not_to(recipients: list[Recipient], deliverables: list[Deliverable], project: Project):
    """A sentence where one of these is not for one of those, or ""."""
    kept = [each for each in deliverables if each.kind in CLIENTS_ONLY]
    others = [each.name for each in recipients if not each.is_of_the_client(project)]
    if not kept or not others:
        return ""
    return (
        f"{kept[0]} goes to the client only, and {', '.join(others)} "
        f"{'is' if len(others) == 1 else 'are'} not one of {project.client}’s contacts."
    )
