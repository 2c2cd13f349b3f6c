import django_tables2 as tables

from gear.tables import FIGURE
from sessions.songs.models import Song


class SongTable(tables.Table):
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
