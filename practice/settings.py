"""Settings. Everything a practice may change comes from the environment or from `data/bowlwright.env`."""

from pathlib import Path
from urllib.parse import quote

import environ
import font_source_sans_pro
from csp.constants import NONE, SELF
from django.core.management.utils import get_random_secret_key
from whitenoise.compress import Compressor

BASE_DIR = Path(__file__).resolve().parent.parent
env = environ.Env()
DATA_DIR = Path(env("BOWLWRIGHT_DATA", default=str(BASE_DIR / "data"))).resolve()
DATA_DIR.mkdir(parents=True, exist_ok=True)
if (DATA_DIR / "bowlwright.env").exists():
    env.read_env(DATA_DIR / "bowlwright.env")


def _secret_key() -> str:
    """The key in the data folder, made on first start and readable by its owner only."""
    path = DATA_DIR / "secret_key"
    if not path.exists() or not path.read_text().strip():  # empty: an earlier start was interrupted
        path.touch(mode=0o600)
        path.write_text(get_random_secret_key())
    return path.read_text().strip()


SECRET_KEY = env("SECRET_KEY", default=None) or _secret_key()
DEBUG = env.bool("DEBUG", default=False)
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=["127.0.0.1", "localhost", "[::1]"])
CSRF_TRUSTED_ORIGINS = env.list("CSRF_TRUSTED_ORIGINS", default=[])

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "axes",
    "csp",
    "django_htmx",
    "simple_history",
    "nutrients",
    "recipes",
    "patients",
    "practice",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "practice.middleware.SignInMiddleware",
    "practice.middleware.PracticeMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "patients.merged_addresses.MergedAddressMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "practice.urls"
WSGI_APPLICATION = "practice.wsgi.application"

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
                "practice.context.practice_profile",
            ],
        },
    },
]

SQLITE_URL = f"sqlite:///{quote(str(DATA_DIR / 'bowlwright.sqlite3'))}"
DATABASES = {"default": env.db("DATABASE_URL", default=SQLITE_URL)}
DATABASES["default"]["CONN_MAX_AGE"] = None
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = {
        "timeout": 20,
        "transaction_mode": "IMMEDIATE",
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_LOCKOUT_TEMPLATE = "practice/locked.html"
LOGIN_URL = "practice:sign-in"
LOGIN_REDIRECT_URL = "practice:today"
LOGOUT_REDIRECT_URL = "practice:sign-in"

DATA_UPLOAD_MAX_NUMBER_FIELDS = 5_000  # a recipe's form of far too many lines still comes back as typed

LANGUAGE_CODE = "en"
TIME_ZONE = env("TIME_ZONE", default="UTC")
USE_I18N = True
USE_TZ = True
USE_THOUSAND_SEPARATOR = True

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
FONT_DIR = Path(font_source_sans_pro.__file__).parent / "files"
STATICFILES_DIRS = [BASE_DIR / "static", ("fonts", FONT_DIR)]
WHITENOISE_SKIP_COMPRESS_EXTENSIONS = (*Compressor.SKIP_COMPRESS_EXTENSIONS, "ttf", "otf")
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
MEDIA_ROOT = DATA_DIR / "media"

SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 12 * 60 * 60
CSRF_COOKIE_SAMESITE = "Lax"
SECURE_COOKIES = env.bool("SECURE_COOKIES", default=False)
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_COOKIES
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
        "manifest-src": [SELF],
    }
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
