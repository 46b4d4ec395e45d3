"""The site's settings as tests need them: nothing kept, passwords hashed fast, static files as they lie."""

import os
import tempfile

_folder = tempfile.TemporaryDirectory(prefix="jigumi-tests-")  # goes with the process
os.environ["JIGUMI_VAR"] = _folder.name
os.environ["JIGUMI_SECRET_KEY"] = "only-for-tests-and-long-enough-to-be-taken-as-a-key"

from studio.settings import *  # noqa: E402, F403
from studio.settings import STORAGES, VAR  # noqa: E402

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}
STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
WHITENOISE_AUTOREFRESH = True
STATIC_ROOT = VAR
