from whitenoise.storage import CompressedManifestStaticFilesStorage


class StaticFiles(CompressedManifestStaticFilesStorage):
    """Names files by their contents; where they were never collected, a page without its styles
    is better than none, above all the one that says what went wrong."""

    def stored_name(self, name: str) -> str:
        try:
            return super().stored_name(name)
        except ValueError:
            return name
