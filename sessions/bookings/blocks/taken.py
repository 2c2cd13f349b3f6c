"""What a block would take from sessions to come: shown, with what could stand in, before it is saved."""

from collections.abc import Mapping
from functools import cached_property

from django.http import QueryDict

from sessions.bookings.stand_ins.forms import StandInsForm
from sessions.bookings.stand_ins.giving_up import given_up_to

FIELD = "over_bookings"  # the keys of what the page showed: nobody loses what nobody saw


class TakenTime:
    """`facts` are what the actions take besides those of the block's own form."""

    def __init__(self, sent: QueryDict, wanted: Mapping):
        resources = [*wanted["rooms"], *wanted["people"], *wanted["units"]]
        needs = given_up_to(resources, (wanted["starts_at"], wanted["ends_at"]))
        self.shown = ",".join(str(each.pk) for each in needs)
        self.was_shown = sent.get(FIELD, "") == self.shown
        data = sent if self.was_shown and needs else None
        self.form = StandInsForm(data, needs=needs, but_for=resources)

    @cached_property
    def is_settled(self) -> bool:
        """Whether nothing is taken, or the page showed all of it and what was chosen is still free."""
        return not self.form.needs or self.was_shown and self.form.is_valid()

    @property
    def facts(self) -> dict:
        chosen = self.form.chosen() if self.form.needs else {}
        return {"over_bookings": bool(self.form.needs), "stand_ins": chosen}

    def page(self) -> dict:
        """For `form_page`."""
        if not self.form.needs:
            return {}
        return {
            "template": "sessions/bookings/blocks/block_form.html",
            "taken": self,
            "action": "Block, with what is chosen",
        }
