import django_filters as filters
from django.db.models import Q
from django.forms import SearchInput

from gear.equipment.models import Category, GearModel, Unit, UnitState


def _rooms():
    return [(room, room) for room in Unit.objects.home_rooms()]


class UnitFilter(filters.FilterSet):
    words = filters.CharFilter(method="with_words", label="Tag, model or home", widget=SearchInput)
    category = filters.ChoiceFilter(
        field_name="model__category", choices=Category, label="Category", empty_label="Any"
    )
    state = filters.ChoiceFilter(choices=UnitState, label="State", empty_label="Any")
    home_room = filters.ChoiceFilter(choices=_rooms, label="Home", empty_label="Anywhere")
    faults = filters.ChoiceFilter(
        method="with_faults",
        choices=[("open", "Open faults")],
        label="Faults",
        empty_label="With or without",
    )

    class Meta:
        model = Unit
        fields = []

    def with_words(self, units, name, words):
        """Units that have every word somewhere in tag, serial number, maker, model, home or note."""
        for word in words.split():
            units = units.filter(
                Q(asset_tag__icontains=word)
                | Q(serial_number__icontains=word)
                | Q(model__maker__icontains=word)
                | Q(model__name__icontains=word)
                | Q(home_room__icontains=word)
                | Q(rack__icontains=word)
                | Q(note__icontains=word)
            )
        return units

    def with_faults(self, units, name, wanted):
        return units.filter(open_fault_count__gt=0)


class GearModelFilter(filters.FilterSet):
    words = filters.CharFilter(method="with_words", label="Maker or model", widget=SearchInput)
    category = filters.ChoiceFilter(choices=Category, label="Category", empty_label="Any")

    class Meta:
        model = GearModel
        fields = []

    def with_words(self, models, name, words):
        for word in words.split():
            models = models.filter(
                Q(maker__icontains=word) | Q(name__icontains=word) | Q(note__icontains=word)
            )
        return models
