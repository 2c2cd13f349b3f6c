"""As a studio group has them; files are moved to the bucket at once, in the smallest parts that S3 takes."""

from studio import storage
from tests.served.settings import *  # noqa: F403

storage.QUIET_SECONDS, storage.PART_BYTES = 0, 5 << 20
