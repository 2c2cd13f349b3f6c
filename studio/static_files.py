from whitenoise.storage import CompressedManifestStaticFilesStorage

IMPORTED = r'(?P<matched>from "(?P<url>\./[^"]+)")'


class StaticFiles(CompressedManifestStaticFilesStorage):
    """Names files by their contents; where they were never collected, a page without its styles
    is better than none, above all the one that says what went wrong."""

    # Our modules import each other by those names, too, so that a page and its modules are of one
    # release. (Django's own switch for it stumbles over other people's comments.)
    patterns = (
        *CompressedManifestStaticFilesStorage.patterns,
        ("studio/js/*.js", ((IMPORTED, 'from "%(url)s"'),)),
    )

    def stored_name(self, name: str) -> str:
        try:
            return super().stored_name(name)
        except ValueError:
            return name
