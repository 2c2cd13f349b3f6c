"""The chains of one page, with a form for every stage."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from django.http import QueryDict

from sessions.setups.chains.actions import Seen
from sessions.setups.chains.fields import PointNames, SeenField
from sessions.setups.chains.summary import Completeness, completeness
from sessions.setups.controls.curves import Curve, stage_curves
from sessions.setups.editor.actions import Typed
from sessions.setups.editor.forms import StageLineForm
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Chain, Revision, Stage
from sessions.setups.warnings import Warning, chain_warnings


@dataclass(frozen=True)
class StageLine:
    key: str
    stage: Stage
    form: StageLineForm

    @property
    def place(self) -> str:
        """What its anchor on the page is called by."""
        return f"{self.stage.revision.chain_id}-{self.key}"

    @property
    def curves(self) -> list[Curve]:
        return list(stage_curves(self.stage))

    @property
    def pinned(self) -> set[str]:
        """The keys of its controls that are changed on the tracking page."""
        pins = self.stage.revision.chain.pinned
        return {control for stage, control in pins if stage == self.key}


@dataclass(frozen=True)
class ChainLine:
    """A chain as it stands now, or with what was typed for it (`data`)."""

    revision: Revision
    names: PointNames
    data: QueryDict | None = None
    in_session: Iterable[Revision] | None = None  # see `harmed_by_switching_on`

    @property
    def chain(self) -> Chain:
        return self.revision.chain

    @property
    def seen_name(self) -> str:
        return f"c{self.chain.pk}-seen"

    @property
    def seen(self) -> Seen:
        return Seen.of(self.revision)

    @cached_property
    def stages(self) -> list[StageLine]:
        return [
            StageLine(key, stage, self._form(key, stage))
            for key, stage in stage_keys(self.revision.stages.all()).items()
        ]

    @property
    def completeness(self) -> Completeness:
        return completeness(self.revision)

    @property
    def warnings(self) -> list[Warning]:
        return chain_warnings(self.revision)

    @property
    def forms(self) -> list[StageLineForm]:
        return [line.form for line in self.stages]

    def is_valid(self) -> bool:
        return all(form.is_valid() for form in self.forms)

    def typed(self) -> Typed:
        """What the valid forms say, by somebody who had seen what the page says they had."""
        seen = SeenField().clean(self.data.get(self.seen_name))
        return Typed(self.chain, seen, {line.key: line.form.facts() for line in self.stages})

    def _form(self, key: str, stage: Stage) -> StageLineForm:
        return StageLineForm(
            stage,
            self.data,
            names=self.names,
            in_session=self.in_session,
            prefix=f"c{self.chain.pk}u{key}",
        )
