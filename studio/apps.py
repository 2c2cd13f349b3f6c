from django.apps import AppConfig
from django.conf import settings


class StudioConfig(AppConfig):
    name = "studio"

    def ready(self) -> None:
        from studio import checks, lookups  # noqa: F401 (each registers its own)
        from studio.private_files import make_data_folder

        make_data_folder(settings.FILE_UPLOAD_TEMP_DIR)  # stands in the data folder
