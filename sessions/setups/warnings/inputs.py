"""The recorder's inputs that chains name as their destination. A number alone is understood as the
input of the converter that the chain goes through."""

import re
from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator

from gear.equipment.models import Category
from sessions.setups.models import Revision, Setup, Stage
from sessions.setups.warnings.warning import Warning

_NUMBERED = re.compile(r"(input|in|channel|ch)?\.? ?0*(\d+)")


def input_twice(setup: Setup, session_revisions: Iterable[Revision]) -> Iterator[Warning]:
    """One recorder input named by two chains: in this setup, or in one that is up beside it."""
    named = defaultdict(list)
    for revision in session_revisions:
        if revision.chain.setup_id == setup.pk or revision.chain.setup.is_up:
            for key in _keys(revision):
                named[key].append(revision)
    for found in {tuple(found): None for found in named.values()}:
        ours = [revision for revision in found if revision.chain.setup_id == setup.pk]
        if len(found) < 2 or not ours or not (setup.is_up or len(ours) > 1):
            continue
        where = " and ".join(f"“{revision.chain}”" for revision in found)
        across = {revision.chain.setup_id for revision in found} != {setup.pk}
        yield Warning(
            "caution",
            f"{_in_words(ours[0])} is the input of {where}"
            f"{', whose setups are set up together' if across else ''}.",
            "One input records one chain: give one of them another, or strike the setup that is "
            "finished.",
        )


def input_of_another_channel(revision: Revision) -> Iterator[Warning]:
    """The number of an input, and a converter on which the chain stands at another channel."""
    number, converter = _number(revision), _converter(revision)
    if converter and converter.channel and number not in (None, converter.channel):
        yield Warning(
            "caution",
            f"The destination {revision.chain.destination_input} is understood as input {number} of "
            f"{converter.unit.asset_tag}, and the chain goes into its channel {converter.channel}.",
            "Correct one of the two; if the recorder counts otherwise, write its own name: Input "
            f"{number}.",
            converter,
        )


def _keys(revision: Revision) -> list[Hashable]:
    """By which inputs are told to be one: the name, and the number at the chain's converter."""
    name, converter = _name(revision), _converter(revision)
    match = _NUMBERED.fullmatch(name)
    if not match:
        return [name] if name else []
    at_converter = [(converter.unit_id, int(match[2]))] if converter else []
    is_recorders = match[1] or not converter
    return [*at_converter, *([int(match[2])] if is_recorders else [])]


def _number(revision: Revision) -> int | None:
    """The destination, where it is a number and nothing else."""
    name = _name(revision)
    return int(name) if name.isdecimal() else None


def _name(revision: Revision) -> str:
    return " ".join(revision.chain.destination_input.split()).casefold()


def _in_words(revision: Revision) -> str:
    number, converter = _number(revision), _converter(revision)
    if number is None or converter is None:
        return revision.chain.destination_input
    return f"Input {number} of {converter.unit.asset_tag}"


def _converter(revision: Revision) -> Stage | None:
    """Where the printed path becomes numbers: the last converter in it."""
    converters = [
        stage
        for stage in revision.stages.all()
        if stage.is_printed and stage.unit.model.category == Category.CONVERTER
    ]
    return converters[-1] if converters else None
