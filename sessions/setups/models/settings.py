from django.db import models

from gear.panels.models import Control, Kind, Meaning

#: What a copy leaves empty: what a meter showed, and that a supply is on.
NOT_COPIED = {Meaning.GAIN_REDUCTION, Meaning.LEVEL_READING, Meaning.POWER}


class PanelSettings(models.Model):
    """How the controls of `panel` are set.

    `settings` maps a control's key to a number on that control's scale; a control that is missing
    from it was not logged. Copied is not set: what came with a copy is `not_yet_set` until somebody
    touches it or confirms the unit.
    """

    settings = models.JSONField(default=dict, blank=True)
    not_yet_set = models.JSONField(
        default=list,
        blank=True,
        editable=False,
        help_text="The keys of the controls whose settings were copied and are not yet set.",
    )

    class Meta:
        abstract = True

    def set_controls(self, settings: dict[str, float]) -> None:
        """Log these settings; a control that stands otherwise than before is set by that."""
        before, self.settings = self.settings, settings
        self.not_yet_set = [key for key in self.not_yet_set if settings.get(key) == before.get(key)]

    def touch(self, *keys: str) -> None:
        """These are set as they were copied."""
        self.not_yet_set = [key for key in self.not_yet_set if key not in keys]

    def begin_as_copy(self) -> None:
        """Keep what is to be set, and mark all of it as not yet set. Reads the panel's controls."""
        controls = self.panel.controls.all() if self.panel else ()
        left = {control.key for control in controls if not is_copied(control)}
        self.settings = {key: value for key, value in self.settings.items() if key not in left}
        self.not_yet_set = sorted(self.settings)


def is_copied(control: Control) -> bool:
    return control.kind != Kind.READING and control.meaning not in NOT_COPIED
