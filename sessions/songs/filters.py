from django_filters import CharFilter, FilterSet, ModelChoiceFilter

from sessions.clients.models import Project
from sessions.songs.models import Song


def _projects(request):
    return Project.objects.visible_to(request.user)


class SongFilter(FilterSet):
    q = CharFilter("title", lookup_expr="icontains", label="Title")
    project = ModelChoiceFilter(queryset=_projects, empty_label="Any project")

    class Meta:
        model = Song
        fields = ["q", "project"]
