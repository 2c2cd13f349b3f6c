"""Which take each line of the words is from: one comp with gaps still, one whole."""

from sessions.takes.models import CompChoice

# Song, part: the take of each section; a section that is not named is still to be chosen.
CHOICES = {
    ("Neap and Spring", "Quartet"): {"Verse 1": 7, "Verse 2": 7, "Refrain": 6},
    ("Seven Bells Round", "Spoken verse"): {"Spoken verse": 4},
}


def choose_lines(work) -> None:
    for (title, name), by_section in CHOICES.items():
        [part] = work.parts(title, name)
        takes = {take.number: take for take in part.takes.all()}
        for section in part.song.sections.filter(name__in=by_section):
            for line in section.lines.all():
                CompChoice.objects.create(
                    part=part, line=line, take=takes[by_section[section.name]]
                )
