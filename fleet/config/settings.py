"""Every setting, in one file. What differs between installations comes from the environment."""

from __future__ import annotations

import sys
from typing import Any

from celery.schedules import crontab
from csp.constants import NONE, SELF
from environs import Env

from . import databases, logs
from .private import ROOT, data_folder, kept_secrets
from .serving import production

env = Env()
DATA_DIR = data_folder()
TESTING = "pytest" in sys.modules

# --- safety -----------------------------------------------------------------------------------
DEBUG = env.bool("DEBUG", default=False)
SECRET_KEY = env.str("SECRET_KEY", default="") or kept_secrets()["secret_key"]
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=["127.0.0.1", "localhost", "[::1]"])
# Over plain http, as on one's own machine, a browser drops cookies marked secure: HTTPS says
# that the site is reached by https (through a proxy that sets X-Forwarded-Proto).
HTTPS = env.bool("HTTPS", default=False)
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if HTTPS else None
CSRF_TRUSTED_ORIGINS: list[str] = env.list("CSRF_TRUSTED_ORIGINS", default=[])
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_AGE = 12 * 3600  # a long shift
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
X_FRAME_OPTIONS = "DENY"
#: Who shows it may read /metrics from another machine; empty: only this machine may.
METRICS_TOKEN = env.str("METRICS_TOKEN", default="")
CONTENT_SECURITY_POLICY: dict[str, Any] = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
# A name under attack from one address is locked there, and nobody else is locked out with it.
AXES_FAILURE_LIMIT = 8
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_COOLOFF_TIME = 0.25  # hours
AXES_RESET_ON_SUCCESS = False  # it would count off those of every address: see fleet.people.proofs
AXES_LOCKOUT_TEMPLATE = "fleet/people/entry/locked_out.html"
AXES_SENSITIVE_PARAMETERS = ["password", "token"]
AXES_VERBOSE = False
#: Proxies whose X-Forwarded-For is believed, as networks: failures are then counted by who is behind them.
TRUSTED_PROXIES: list[str] = env.list("TRUSTED_PROXIES", default=[])
AXES_CLIENT_IP_CALLABLE = "fleet.house.addresses.client_address"
#: A browser that nobody touched for so long is locked until the password is entered again; 0: never.
IDLE_MINUTES = env.int("IDLE_MINUTES", default=30)
AXES_ENABLED = not TESTING or env.bool("AXES_IN_TESTS", default=False)

# --- parts ------------------------------------------------------------------------------------
INSTALLED_APPS = [
    "fleet.apps.FleetConfig",  # before the parts whose commands it answers in its own way
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.postgres",
    # whitenoise serves the static files of a development server too
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django_htmx",
    "rest_framework",
    "drf_spectacular",
    "equipment.apps.EquipmentConfig",
    "scheduling.apps.SchedulingConfig",
    "fleet.config.apps.HouseConfig",  # last: it grants rights on every table made before it
]
MIDDLEWARE = [
    "fleet.config.serving.health.HealthFirst",
    "fleet.config.serving.requests.Noted",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "fleet.people.presence.Watched",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "fleet.config.urls"
WSGI_APPLICATION = "fleet.config.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

# --- data -------------------------------------------------------------------------------------
DATABASES = databases.from_environment(env)
APPLICATION_ACCOUNT = databases.application_account()
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 2**20
FILE_UPLOAD_MAX_MEMORY_SIZE = 2 * 2**20  # larger uploads stream to a file
FILE_UPLOAD_TEMP_DIR = None
MEDIA_ROOT = DATA_DIR / "uploads"
#: Less than this left on the disk, in bytes, is said on the pages and by /healthz.
LEAST_ROOM = env.int("LEAST_ROOM_MB", default=500) * 2**20

# --- people -----------------------------------------------------------------------------------
AUTH_USER_MODEL = "fleet.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
if TESTING:
    PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "sign-in"

# --- time and words ---------------------------------------------------------------------------
TIME_ZONE = "UTC"
USE_TZ = True
LANGUAGE_CODE = "en-gb"
USE_I18N = False
#: The zone in which "today" is taken by pages, commands and jobs.
GREENBAND_TODAY_ZONE = env.str("TODAY_ZONE", default="UTC")

# --- static files -----------------------------------------------------------------------------
STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_FINDERS = [
    "django.contrib.staticfiles.finders.AppDirectoriesFinder",
    "fleet.screens.fonts.FontFinder",
]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG or TESTING
        else "fleet.screens.statics.Statics"
    },
}
WHITENOISE_USE_FINDERS = WHITENOISE_AUTOREFRESH = DEBUG or TESTING

# --- API --------------------------------------------------------------------------------------


REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "fleet.doors.auth.TokenAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": [
        "rest_framework.parsers.JSONParser",
        "rest_framework.parsers.MultiPartParser",
    ],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "fleet.house.web.problem_handler",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Greenband",
    "DESCRIPTION": "Aircraft emergency equipment: what is fitted where, and what falls due when.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "POSTPROCESSING_HOOKS": [],  # choices stay where they are used: many are called "sort"
}

# --- jobs -------------------------------------------------------------------------------------
# Rows first: a message only says "look at the rows now", and beat says so again soon after.
_BROKER = env.str("BROKER_URL", default="")
BROKER_FOLDERS = (
    [] if _BROKER else [DATA_DIR / "broker" / "messages", DATA_DIR / "broker" / "control"]
)
CELERY_BROKER_URL = _BROKER or "folder://localhost"
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_TIMEOUT = 1
# kombu reads no limit as "try for ever": one try, so that a request never waits for a broker.
CELERY_BROKER_TRANSPORT_OPTIONS: dict[str, Any] = {
    "max_retries": 1,
    "interval_start": 0,
    "interval_step": 0,
    "interval_max": 0,
}
if _BROKER.startswith("redis"):
    CELERY_BROKER_TRANSPORT_OPTIONS |= {"socket_connect_timeout": 1, "socket_timeout": 5}
if not _BROKER:
    # One folder for both ends: what is sent is what is taken.
    CELERY_BROKER_TRANSPORT_OPTIONS |= {
        "data_folder_in": str(BROKER_FOLDERS[0]),
        "data_folder_out": str(BROKER_FOLDERS[0]),
        "control_folder": str(BROKER_FOLDERS[1]),
        "polling_interval": 0.2,  # seconds
    }
CELERY_TASK_PUBLISH_RETRY = False
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_CONCURRENCY = env.int("WORKER_CONCURRENCY", default=1)
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_WORKER_SEND_TASK_EVENTS = False
CELERY_WORKER_ENABLE_REMOTE_CONTROL = False
CELERY_TIMEZONE = GREENBAND_TODAY_ZONE
CELERY_TASK_ALWAYS_EAGER = False
CELERY_BEAT_SCHEDULER = "fleet.config.serving.scheduler:Scheduler"
# Sheets have a worker of their own: a load of an hour keeps no due date waiting.
CELERY_TASK_ROUTES = {
    "fleet.tasks.drain_loads": {"queue": "loads"},
    "fleet.tasks.read_own_workbooks": {"queue": "loads"},
}
# No job may hold its worker for ever: it is told to end, and ended if it does not.
CELERY_TASK_SOFT_TIME_LIMIT = env.int("MOST_JOB_SECONDS", default=1800)
CELERY_TASK_TIME_LIMIT = CELERY_TASK_SOFT_TIME_LIMIT + 60
CELERY_BEAT_SCHEDULE: dict[str, dict[str, Any]] = {
    "nightly": {"task": "scheduling.tasks.nightly", "schedule": crontab(hour="0", minute="10")},
    "whereabouts": {
        "task": "equipment.keeping.nightly",
        "schedule": crontab(hour="1", minute="30"),
    },
    "drain": {
        "task": "scheduling.tasks.drain",
        "schedule": 20.0,
        "options": {"expires": 60},
    },
    "tell": {
        "task": "scheduling.tasks.tell",
        "schedule": 30.0,
        "options": {"expires": 60},
    },
    "drain_loads": {
        "task": "fleet.tasks.drain_loads",
        "schedule": 5.0,
        "options": {"expires": 30},
    },
    "read_own_workbooks": {
        "task": "fleet.tasks.read_own_workbooks",
        "schedule": 10.0,
        "options": {"expires": 30},
    },
}

# --- mail -------------------------------------------------------------------------------------
#: The server that mail is given to; without it nothing is mailed, and notices stay in the house.
MAIL_HOST = env.str("MAIL_HOST", default="")
MAIL_PORT = env.int("MAIL_PORT", default=25)
MAIL_USER = env.str("MAIL_USER", default="")
MAIL_PASSWORD = env.str("MAIL_PASSWORD", default="")
MAIL_TLS = env.bool("MAIL_TLS", default=False)
MAIL_FROM = env.str("MAIL_FROM", default="Greenband <greenband@localhost>")
#: Under which people open this house, for links in mails: https://greenband.airline.example
HOUSE_ADDRESS = env.str("HOUSE_ADDRESS", default="").rstrip("/")

# --- words to the log -------------------------------------------------------------------------
LOGGING_CONFIG = None
logs.configure(level=env.str("LOG_LEVEL", default="WARNING" if TESTING else "INFO"))

#: Whether every screen and print says that what is shown is the invented demonstration.
SHOWS_DEMONSTRATION = production.shows_demonstration()
