from collections.abc import Iterable

from gear.acting import action
from sessions.clients.models import Client, Project


@action
def project_for(
    project: Project | None,
    *,
    new_project: str = "",
    client: str = "",
    artist: str = "",
    songs: Iterable[str] = (),
    by,
) -> Project:
    """The project that a session is for, with songs that it did not have yet; a new one of that
    client, who may be new as well, where none is given."""
    if project is None:
        payer, _ = Client.objects.get_or_create(name=client)
        project = payer.projects.create(name=new_project, artist=artist or client)
    for title in songs:
        project.songs.get_or_create(title=title)
    return project
