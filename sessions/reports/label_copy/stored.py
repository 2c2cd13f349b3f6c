"""The label copy as a stored paper, of a song and of a project."""

from sessions.clients.models import Project
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.reports.label_copy.copy import label_copies
from sessions.rooms.models import Studio
from sessions.songs.models import Song

SONGS = Song.objects.select_related("project")
TEMPLATE = "sessions/reports/label_copy/paper.html"


def songs_of(project: Project):
    return project.songs.select_related("project")


def _contents(subject: Song | Project, project: Project, songs) -> Contents:
    facts = {"subject": subject, "project": project, "house": Studio.current().name}
    return Contents({**facts, "copies": label_copies(songs)})


LABEL_COPY_OF_SONG = PaperKind(
    path=f"{__name__}.LABEL_COPY_OF_SONG",
    title="Label copy: {}".format,
    page="label_copy:song",
    template=TEMPLATE,
    subjects=SONGS,
    contents=lambda song, address: _contents(song, song.project, [song]),
    for_client=True,
)
LABEL_COPY_OF_PROJECT = PaperKind(
    path=f"{__name__}.LABEL_COPY_OF_PROJECT",
    title="Label copy: {}".format,
    page="label_copy:project",
    template=TEMPLATE,
    subjects=Project.objects.all(),
    contents=lambda project, address: _contents(project, project, songs_of(project)),
    for_client=True,
)
