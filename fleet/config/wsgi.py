"""The door for web servers: ``gunicorn fleet.config.wsgi``."""

import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

from fleet.config.serving import production

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "fleet.config.settings")

application = get_wsgi_application()
production.refuse()
# All pages now, in the one process that the web server forks from, not at each one's first request.
get_resolver().url_patterns  # noqa: B018
