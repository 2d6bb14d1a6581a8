"""How static files are stored for serving: compressed, under names that carry their content."""

from __future__ import annotations

from whitenoise.storage import CompressedManifestStaticFilesStorage

IMPORT = r"""(?P<matched>import\s(?P<names>[^;'"]+?)\sfrom\s["'](?P<url>\./[^'"]+)["'];)"""


class Statics(CompressedManifestStaticFilesStorage):
    """The package's own, in which our scripts' modules too find each other under such names: else a browser
    would keep an old module beside a new one.

    Django's own way (``support_js_module_import_aggregation``) reads every package's script, and fails on
    a comment in one.
    """

    patterns = (
        *CompressedManifestStaticFilesStorage.patterns,
        ("face/*.js", ((IMPORT, 'import %(names)s from "%(url)s";'),)),
    )
