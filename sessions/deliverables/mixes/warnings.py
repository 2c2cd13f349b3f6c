"""What our own record says against a mix as it is logged: by today's record, which may know more."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from gear.equipment.cautions import cautions_for
from gear.equipment.models import Category, SignalLevel
from gear.equipment.phantom import phantom_ruling
from gear.panels.models import Meaning
from sessions.deliverables.mixes.models import MixInsert, MixRevision
from sessions.setups.warnings.cautions import ChainCaution
from sessions.setups.warnings.warning import Warning, gravest_first


def mix_warnings(revision: MixRevision) -> list[Warning]:
    """The gravest first. No query for a revision loaded `with_strips`."""
    checks = (_phantom, _levels, _stands_twice, _out_of_service)
    return gravest_first(warning for check in checks for warning in check(revision))


def mix_cautions(revision: MixRevision) -> list[ChainCaution]:
    """Each caution of its units once."""
    causes = defaultdict(list)
    for insert in revision.inserts():
        for caution in cautions_for(insert.unit.model, gives_phantom=gives_phantom(insert)):
            causes[caution].append(insert)
    return [ChainCaution(caution, tuple(inserts)) for caution, inserts in causes.items()]


def gives_phantom(insert: MixInsert) -> bool:
    switches = insert.controls_for(Meaning.PHANTOM)
    return any((insert.setting(switch) or 0) > 0 for switch in switches)


def _phantom(revision: MixRevision) -> Iterator[Warning]:
    for strip in revision.strips.all():
        inserts = strip.inserts.all()
        units = [insert.unit for insert in inserts]
        for insert in filter(gives_phantom, inserts):
            if harmed := phantom_ruling(units).harmed:
                yield Warning(
                    "warning",
                    f"{strip}: 48 V is logged on at {insert.facts.unit}, and can damage "
                    f"{' and '.join(map(str, harmed))}.",
                    "Leave it off, and let it die away before anything is plugged in there.",
                    is_safety=True,
                )
            else:
                yield Warning(
                    "caution",
                    f"{strip}: 48 V is logged on at {insert.facts.unit}, where a mix plays back.",
                    "Nothing there needs it, and it can damage outputs that are plugged in: leave it "
                    "off.",
                    is_safety=True,
                )


def _levels(revision: MixRevision) -> Iterator[Warning]:
    """A strip is at line level; a patch point's level goes before its unit's."""
    for strip in revision.strips.all():
        inserts = list(strip.inserts.all())
        for insert in inserts:
            if _level_in(insert) == SignalLevel.MICROPHONE:
                yield Warning(
                    "warning",
                    f"{strip}: line level goes into the microphone input of {insert.facts.unit}: it "
                    "will overload.",
                    "Use a line input, or a pad, and see that phantom power is off there.",
                )
            if _level_out(insert) == SignalLevel.SPEAKER:
                yield Warning(
                    "warning",
                    f"{strip}: {insert.facts.unit} comes out at loudspeaker level, which can damage "
                    "a line input.",
                    "Take its signal from a line output, or through a box that is made for it.",
                    is_safety=True,
                )
        for before, after in pairwise(inserts):
            out, into = before.unit.model.max_output_dbu, after.unit.model.max_input_dbu
            if None not in (out, into) and out > into:
                yield Warning(
                    "note",
                    f"{strip}: {before.facts.unit} puts out up to {out:+.1f} dBu, and "
                    f"{after.facts.unit} takes {into:+.1f} dBu.".replace("-", "−"),
                    "Watch the level between them.",
                )


def _level_in(insert: MixInsert) -> str:
    return insert.patch_in.level if insert.patch_in else insert.unit.model.input_level


def _level_out(insert: MixInsert) -> str:
    return insert.patch_out.level if insert.patch_out else insert.unit.model.output_level


def _stands_twice(revision: MixRevision) -> Iterator[Warning]:
    places = defaultdict(dict)
    for strip in revision.strips.all():
        for insert in strip.inserts.all():
            if insert.unit.model.category != Category.CONVERTER:
                places[insert.unit, insert.channel][strip] = None
    for (unit, channel), strips in places.items():
        if len(strips) > 1 and (channel or unit.model.channels == 1):
            where = ", ".join(map(str, strips))
            named = f"Channel {channel} of {unit}" if channel else f"{unit}"
            yield Warning(
                "warning",
                f"{named} stands in {where}: it can be in one of them.",
                "Choose another.",
            )


def _out_of_service(revision: MixRevision) -> Iterator[Warning]:
    for unit in dict.fromkeys(insert.unit for insert in revision.inserts()):
        if not unit.is_in_service:
            yield Warning(
                "warning",
                f"{unit} is {unit.standing}.",
                "Choose another unit, or return it to service once it is repaired.",
            )
