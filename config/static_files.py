"""Static files under names that change with their content, imports between our scripts included."""

from django.contrib.staticfiles.storage import HashedFilesMixin
from whitenoise.storage import CompressedManifestStaticFilesStorage

__all__ = ["HashedStaticFiles"]


class HashedStaticFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc]  # it has no types
    """A script of ours names what it imports by its hashed name, so that a browser never mixes two releases.

    Of ours alone: `support_js_module_import_aggregation` would read every script, and some of the packages'
    name files in their comments that do not exist.
    """

    patterns = (
        *HashedFilesMixin.patterns,
        # Django's own patterns for imports; the types do not list them.
        ("kits/*.js", HashedFilesMixin._js_module_import_aggregation_patterns[1]),  # type: ignore[attr-defined]
    )
    max_post_process_passes = 12  # one for each script in the longest chain of imports, and some to spare
