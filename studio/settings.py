"""Settings of the site. What differs between machines comes from the environment; README.md lists it."""

import os
from datetime import timedelta
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF

from studio.env import email_settings, flag, proxy_address, secret_key, task_backend, words

BASE_DIR = Path(__file__).resolve().parent.parent
VAR = Path(os.environ.get("JIGUMI_VAR") or BASE_DIR / "var")  # all that a running site writes
VAR.mkdir(mode=0o700, parents=True, exist_ok=True)  # clients' names and addresses are in there

DEBUG = flag("JIGUMI_DEBUG")
HTTPS = flag("JIGUMI_HTTPS")
SECRET_KEY = secret_key(VAR / "secret-key")
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]", *words("JIGUMI_HOSTS")]
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in words("JIGUMI_HOSTS")] if HTTPS else []

INSTALLED_APPS = [
    "whitenoise.runserver_nostatic",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
    "axes",
    "django_tasks",
    "django_tasks_db",
    "studio.letters",
    "studio.people",
    "studio.clients",
    "studio.workshop",
    "studio.commissions",
    "studio.proposals",
    "studio.jobs",
    "studio.board",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "studio.people.middleware.WithoutNul",
    "django.middleware.gzip.GZipMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "studio.people.middleware.BodyLimit",  # forms are read after it: by WithoutNul, at the view's door
    "studio.people.middleware.SignInRequired",  # closed, unless a view says login_not_required
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "studio.people.middleware.NotAllowedPage",
    "studio.unreadable.UnreadablePage",
    "studio.proposals.middleware.DamagedPage",
    "axes.middleware.AxesMiddleware",  # last, as its documentation asks
]

ROOT_URLCONF = "studio.urls"
WSGI_APPLICATION = "studio.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "studio.workshop.context.voice",
            ]
        },
    }
]

# Data
DATABASES = {
    "default": dj_database_url.parse(
        os.environ.get("DATABASE_URL") or f"sqlite:///{VAR / 'jigumi.sqlite3'}",
        conn_max_age=60,
        conn_health_checks=True,
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # Immediate: a deferred transaction that reads, then writes, fails under several writers, not waits.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# People
AUTH_USER_MODEL = "people.User"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in ("UserAttributeSimilarityValidator", "MinimumLengthValidator", "CommonPasswordValidator")
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "sign-in"
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]  # nobody can lock the owner out from elsewhere
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_RESET_ON_SUCCESS = True
AXES_HTTP_RESPONSE_CODE = 429
AXES_LOCKOUT_TEMPLATE = "people/locked_out.html"
AXES_USERNAME_CALLABLE = "studio.people.throttle.username"
AXES_ENABLE_ADMIN = False
AXES_VERBOSE = False

# Security
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "font-src": [SELF],
        "img-src": [SELF, "data:"],
        "connect-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
# The neighbours of the site's host are not ours to promise for, nor is a place on the browsers' list.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
# The server puts scheme and address of who comes through the proxy in place (studio/people/serving.py).
TRUSTED_PROXY = proxy_address("JIGUMI_BEHIND_PROXY")
MOST_BODY_BYTES = 30 * 1024**2  # a photograph
MOST_VISITOR_BYTES = 100_000  # a message in the widest letters

# Static files
STATIC_URL = "static/"
STATIC_ROOT = VAR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATICFILES_FINDERS = [
    "django.contrib.staticfiles.finders.FileSystemFinder",
    "django.contrib.staticfiles.finders.AppDirectoriesFinder",
    "studio.fonts.FontFinder",
]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_KEEP_ONLY_HASHED_FILES = True
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_MIMETYPES = {".ttf": "font/ttf"}  # a minimal Debian has no table of types
MEDIA_ROOT = VAR / "media"

# Letters
DEFAULT_FROM_EMAIL = "jigumi@localhost"
globals().update(email_settings(os.environ.get("EMAIL_URL", ""), VAR / "mail"))
# With a mail server letters are sent by a worker beside the site, `manage.py db_worker`, which tries again;
# without one they are files, as in the demo, which are written at once.
TASKS = {"default": {"BACKEND": task_backend(os.environ.get("EMAIL_URL", ""))}}

# Language and time
LANGUAGE_CODE = "en-gb"
USE_I18N = True
USE_TZ = True
TIME_ZONE = os.environ.get("JIGUMI_TIME_ZONE") or "Europe/London"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "filters": {"no_tokens": {"()": "studio.proposals.masking.NoTokens"}},
    "handlers": {
        "console": {"class": "logging.StreamHandler", "formatter": "plain", "filters": ["no_tokens"]}
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": [], "propagate": True},
        "django.server": {"handlers": ["console"], "level": "INFO", "propagate": False},
    },
}
