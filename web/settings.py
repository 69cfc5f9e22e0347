"""Settings: every value that differs between machines comes from the environment.

Run `manage.py doctor` to see what is set and what to mend.
"""

from __future__ import annotations

import os
from pathlib import Path
from urllib.parse import urlsplit

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from web.beat import beat_schedule
from web.environment import flag, secret, secret_key
from web.kept import kept_days
from web.mail_settings import mail_settings
from web.password_rules import SIGNS_LEAST
from web.pwa_settings import PWA
from web.running.log_settings import log_settings

BASE_DIR = Path(__file__).resolve().parent.parent

DEBUG = flag("DEBUG")
VAR_DIR = Path(os.environ.get("VAR_DIR", BASE_DIR / "var"))
VAR_DIR.mkdir(parents=True, exist_ok=True)
SECRET_KEY = secret_key(secret("SECRET_KEY"), folder=VAR_DIR)

# One address gives hosts, CSRF origins, cookie safety and links.
SITE_URL = os.environ.get("SITE_URL", "http://localhost:8000").rstrip("/")
_site = urlsplit(SITE_URL)
if _site.scheme not in {"http", "https"} or not _site.hostname:
    raise ImproperlyConfigured("SITE_URL must look like https://club.example")
ALLOWED_HOSTS = [
    *filter(None, os.environ.get("ALLOWED_HOSTS", "").split(",")),
    _site.hostname,
    "localhost",
    "127.0.0.1",
    "[::1]",
]
CSRF_TRUSTED_ORIGINS = [SITE_URL]
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = _site.scheme == "https"
BEHIND_PROXY = flag("BEHIND_PROXY")
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if BEHIND_PROXY else None
SECURE_SSL_REDIRECT = _site.scheme == "https" and not DEBUG
SECURE_REDIRECT_EXEMPT = [r"^healthz$", r"^readyz$", r"^metrics$"]
SECURE_HSTS_SECONDS = 31_536_000 if SESSION_COOKIE_SECURE else 0
# For this host alone: of the club's other hosts nothing is known here, and a mistake made for all
# of them (W005), or shipped with browsers (W021), lasts a year in every member's browser.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
# Where a hole found in the site is told (RFC 9116): mailto:, https: or tel:, separated by blanks.
SECURITY_CONTACTS = os.environ.get("SECURITY_CONTACT", "").split()
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_ENGINE = "matches.sessions"
# Over https no other host, and no page over http, can put its own in this cookie's place.
SESSION_COOKIE_NAME = "__Host-sessionid" if SESSION_COOKIE_SECURE else "sessionid"
SESSION_COOKIE_AGE = 180 * 24 * 3600  # a phone stays signed in for the season
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"

# Whoever keeps the site sees every club, so a password alone opens that side only where one tries
# things out.
KEEPERS_SECOND_FACTOR = not (DEBUG or "DRAWBAG_DEMO" in os.environ)

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}

INSTALLED_APPS = [
    "web.apps.KeeperAdminConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "rest_framework",
    "drf_spectacular",
    "pwa",
    "matches",
    "bait",
    "web.apps.WebConfig",
]

MIDDLEWARE = [
    "web.running.watching.WatchMiddleware",
    "django.middleware.security.SecurityMiddleware",
    # A bank has little signal. Django pads by a random length, so that sizes tell nothing.
    "django.middleware.gzip.GZipMiddleware",
    "web.middleware.StaticGZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "web.middleware.PermissionsMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "web.middleware.DatabaseBusyMiddleware",
    "web.middleware.WorkerHeadersMiddleware",
    "web.middleware.PrivateAnswersMiddleware",
    "web.push_gate.PushGateMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "web.speaking.SpeakingMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "web.problem_pages.ProblemPageMiddleware",
]

ROOT_URLCONF = "web.urls"
WSGI_APPLICATION = "web.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "web" / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "web.light.light_shown",
            ]
        },
    }
]

DATABASES = {
    "default": dj_database_url.parse(
        secret("DATABASE_URL") or f"sqlite:///{VAR_DIR / 'drawbag.sqlite3'}",
        conn_max_age=60,
    )
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # FULL: a phone was told it may forget, so a committed fact must be on the disk.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "matches.Person"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": SIGNS_LEAST},
    },
    {"NAME": "web.password_rules.SignsAtMost"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "desk:home"
LOGOUT_REDIRECT_URL = "home"

LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English"), ("fr", "Français")]  # each as who speaks it calls it
LANGUAGE_COOKIE_NAME = "__Host-language" if SESSION_COOKIE_SECURE else "language"
LANGUAGE_COOKIE_AGE = 365 * 24 * 3600
LOCALE_PATHS = [BASE_DIR / "locale"]  # `manage.py words` fills it
FORMAT_MODULE_PATH = ["web.formats"]
TIME_ZONE = "UTC"  # stored; shown in each venue's zone
USE_TZ = True
USE_I18N = True

STATIC_URL = "/static/"
STATIC_ROOT = VAR_DIR / "static"
STATIC_ROOT.mkdir(exist_ok=True)  # the static middleware warns of a folder that is not there
BANK_BUILT = BASE_DIR / "web" / "bank" / "build" / "shell"  # `manage.py bank_build` fills it
BANK_BUILT.mkdir(parents=True, exist_ok=True)
STATICFILES_DIRS = [BASE_DIR / "web" / "static", ("bank", BANK_BUILT)]
# Every page works before collectstatic has run, and hashed names are not needed: the bank shell
# is versioned by its own build hash and the rest is small.
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG
WHITENOISE_ALLOW_ALL_ORIGINS = False  # no page of another site reads our files

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "web.api.tokens.TokenAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "DEFAULT_THROTTLE_CLASSES": ["web.api.tokens.TokenThrottle"],
    "DEFAULT_THROTTLE_RATES": {
        "reckon": os.environ.get("RECKON_RATE", "120/min"),
        "token": os.environ.get("TOKEN_RATE", "120/min"),
    },
    # Throttles count by the address our own proxy saw, or by the connection's own.
    "NUM_PROXIES": 1 if BEHIND_PROXY else 0,
    "EXCEPTION_HANDLER": "web.problem_details.problem_response",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Drawbag",
    "DESCRIPTION": "Bait orders, bankside facts and results for river match-fishing teams.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "COMPONENT_SPLIT_REQUEST": True,
    "POSTPROCESSING_HOOKS": [
        "drf_spectacular.hooks.postprocess_schema_enums",
        "web.api.schema_hooks.operations_describe",
    ],
}
# Pushes of facts that one process works on at once. Python works on one: more would wait for it.
PUSHES_AT_ONCE = int(os.environ.get("PUSHES_AT_ONCE", "1"))
DATA_UPLOAD_MAX_MEMORY_SIZE = 1_048_576  # 1 MiB, for every body
DATA_UPLOAD_MAX_NUMBER_FIELDS = 3_000  # a plan of 30 stages with 20 baits each, and six mixes

# Throttles count here: in each process by itself, or for all of them in Redis.
CACHE_URL = secret("CACHE_URL")
if CACHE_URL:
    CACHES = {
        "default": {
            "BACKEND": "web.running.shared_cache.SharedCache",
            "LOCATION": CACHE_URL,
            "KEY_PREFIX": "drawbag",
        }
    }

# Celery only wakes the worker: what there is to do is a row in the database.
BROKER_DIR = VAR_DIR / "broker"
CELERY_BROKER_URL = secret("BROKER_URL") or "filesystem://localhost"
# Asked once: who waits for a page must not wait for a broker that is down; the sweeper tries again.
CELERY_BROKER_TRANSPORT_OPTIONS: dict[str, str | float] = {"max_retries": 0}
if CELERY_BROKER_URL.startswith("filesystem://"):
    BROKER_DIR.mkdir(parents=True, exist_ok=True)
    CELERY_BROKER_TRANSPORT_OPTIONS |= {
        "data_folder_in": str(BROKER_DIR),
        "data_folder_out": str(BROKER_DIR),
        "control_folder": str(BROKER_DIR / "control"),
        "polling_interval": 0.1,
    }
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_TASK_SERIALIZER = "json"
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_TASK_TIME_LIMIT = 50  # below WORK_LEASE_SECONDS, so that no two workers hold one row
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_TIMEOUT = 2
CELERY_TIMEZONE = "UTC"
WORK_LEASE_SECONDS = int(os.environ.get("WORK_LEASE_SECONDS", "60"))
CELERY_BEAT_SCHEDULE_FILENAME = str(VAR_DIR / "beat-schedule")
# How long what is kept, in days, where not as the table has it: `manage.py retention` prints it.
KEPT_DAYS = kept_days(os.environ.get("KEEP_DAYS", ""))
# Whom to ask about what is held, as the privacy page says it.
PRIVACY_CONTACT = os.environ.get("PRIVACY_CONTACT", "")
# A copy of the database every night, where a folder for it is named.
COPIES_DIR = os.environ.get("COPIES_DIR", "")
COPIES_KEEP = int(os.environ.get("COPIES_KEEP", "14"))

# Messages to addresses that a club names go to the public net by https alone, but where this is on.
WEBHOOKS_LOCAL = flag("WEBHOOKS_LOCAL")
# Where this is set they go to these hosts only, whatever a secretary names.
WEBHOOK_HOSTS = frozenset(os.environ.get("WEBHOOK_HOSTS", "").lower().split())

# Letters for who has lost the password. Without EMAIL_URL none is sent or offered.
EMAIL_URL = secret("EMAIL_URL")
DEFAULT_FROM_EMAIL = os.environ.get("MAIL_FROM") or f"drawbag@{_site.hostname}"
PASSWORD_RESET_TIMEOUT = 30 * 60
if EMAIL_URL:
    globals().update(mail_settings(EMAIL_URL))

CELERY_BEAT_SCHEDULE = beat_schedule(copies=bool(COPIES_DIR), letters=bool(EMAIL_URL))

globals().update(PWA)
PWA_SERVICE_WORKER_PATH = str(BASE_DIR / "web" / "bank" / "build" / "serviceworker.js")

# Who reads /metrics from elsewhere sends it as a bearer token; unset, only this machine may.
METRICS_TOKEN = secret("METRICS_TOKEN")
# "text" for people, "json" for machines: one object a line.
LOG_FORMAT = os.environ.get("LOG_FORMAT") or "text"
if LOG_FORMAT not in {"text", "json"}:
    raise ImproperlyConfigured("LOG_FORMAT must be text or json.")
LOGGING = log_settings(form=LOG_FORMAT, level=os.environ.get("LOG_LEVEL", "WARNING"), debug=DEBUG)
