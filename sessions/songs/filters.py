from django_filters import CharFilter, FilterSet, ModelChoiceFilter

from sessions.clients.offered import newest_projects
from sessions.songs.models import Song


class SongFilter(FilterSet):
    q = CharFilter("title", lookup_expr="icontains", label="Title")
    project = ModelChoiceFilter(queryset=newest_projects, empty_label="Any project")

    class Meta:
        model = Song
        fields = ["q", "project"]
