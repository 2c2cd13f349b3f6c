import django_tables2 as tables

from gear.tables import FIGURE, Columns, ListTable
from sessions.songs.models import Song


class SongTable(ListTable):
    caption = "Songs"
    title = tables.Column(linkify=True)
    project = tables.Column(linkify=True)
    artist = tables.Column(accessor="project__artist")
    key = tables.Column(attrs={"td": {"class": "nowrap"}})
    part_count = tables.Column("Parts", attrs=FIGURE)
    take_count = tables.Column("Takes", attrs=FIGURE)

    class Meta:
        model = Song
        fields = ["title", "project", "artist", "key", "part_count", "take_count"]
        order_by = "title"
        empty_text = "No songs match. Songs are added on their project’s page."

    def csv_columns(self) -> Columns:
        return {
            "title": lambda song: song.title,
            "project": lambda song: song.project.name,
            "artist": lambda song: song.project.artist,
            "key": lambda song: song.key,
            "time signature": lambda song: song.meter,
            "tempo": lambda song: song.tempo,
            "writers": lambda song: song.writers,
            "ISWC": lambda song: song.iswc,
            "ISRC": lambda song: song.isrc,
            "parts": lambda song: song.part_count,
            "takes": lambda song: song.take_count,
            "note": lambda song: song.note,
        }
