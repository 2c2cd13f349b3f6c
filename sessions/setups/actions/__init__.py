"""Changes to setups and chains.

Every change to a revision names what its editor saw (`Seen`). It is made in place while the
revision is open; a fixed one is copied first, and stays as it is.
"""

from sessions.setups.actions.chains import ChainRecorded, add_chain, change_chain, copy_chain
from sessions.setups.actions.measured import log_levels, place_microphone
from sessions.setups.actions.revisions import (
    Seen,
    claim_newest,
    claim_revision,
    fix_revision,
    lock_newest,
    open_revision,
)
from sessions.setups.actions.setups import put_up_again, strike
from sessions.setups.actions.stages import (
    OutOfService,
    add_stage,
    change_stage,
    move_stage,
    remove_stage,
)

__all__ = [
    "ChainRecorded",
    "OutOfService",
    "Seen",
    "add_chain",
    "add_stage",
    "change_chain",
    "change_stage",
    "claim_newest",
    "claim_revision",
    "copy_chain",
    "fix_revision",
    "lock_newest",
    "log_levels",
    "move_stage",
    "open_revision",
    "place_microphone",
    "put_up_again",
    "remove_stage",
    "strike",
]
