"""Changes to chains.

Every change to a revision names what its editor saw (`Seen`). It is made in place while the
revision is open; a fixed one is copied first, and stays as it is.
"""

from sessions.setups.chains.actions.chains import (
    ChainRecorded,
    add_chain,
    change_chain,
    change_parts,
    copy_chain,
)
from sessions.setups.chains.actions.fixing import fix_revision, fix_revisions
from sessions.setups.chains.actions.locks import lock_setup
from sessions.setups.chains.actions.pairs import changed_settings, set_alike
from sessions.setups.chains.actions.revisions import (
    Seen,
    claim_newest,
    claim_revision,
    lock_newest,
    lock_with_partners,
    open_revision,
)
from sessions.setups.chains.actions.stages import (
    OutOfService,
    add_stage,
    change_stage,
    check_in_service,
    claim_stage,
    delete_stage,
    make_room,
    move_stage,
    remove_stage,
)
