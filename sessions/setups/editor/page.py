"""The chains of one page, with a form for every stage."""

from dataclasses import dataclass
from functools import cached_property

from django.http import QueryDict

from gear.patchbay.wiring import load_wiring
from sessions.setups.chains.actions import Seen
from sessions.setups.chains.fields import PointNames, SeenField
from sessions.setups.chains.summary import Completeness, completeness
from sessions.setups.controls.curves import Curve, stage_curves
from sessions.setups.editor.actions import Typed
from sessions.setups.editor.forms import StageLineForm
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Chain, Revision, Setup, Stage
from sessions.setups.patching.patch_list import NOTHING, session_patching
from sessions.setups.warnings import Warning, chain_warnings, setup_warnings
from sessions.setups.warnings.reserved import units_not_ready


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
    in_session: list[Revision]  # the newest of all chains of its session
    data: QueryDict | None = None

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
        up = [each for each in self.in_session if each.chain.is_up]
        return chain_warnings(self.revision, beside=up)

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


def warnings_of(setup: Setup, in_session: list[Revision]) -> list[Warning]:
    """What the setup gives cause for as a whole. Costs six queries, whatever stands in it."""
    patching = session_patching(in_session, load_wiring()).get(setup.pk, NOTHING)
    unready = units_not_ready(setup.session, in_session)
    return setup_warnings(setup, in_session, patching, unready=unready)
