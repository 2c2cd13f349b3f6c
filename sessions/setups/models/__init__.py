from sessions.setups.models.chains import Chain
from sessions.setups.models.groups import Arrangement, ChainGroup, GroupFacts, Seat
from sessions.setups.models.photos import OF_A_CHAIN, Photo, Subject
from sessions.setups.models.placements import Orientation, Placement, Towards
from sessions.setups.models.revisions import Revision
from sessions.setups.models.setups import Setup
from sessions.setups.models.sources import Source, SourceFacts
from sessions.setups.models.stages import Path, Stage
