"""Workers as they run beside a site: processes of their own, on a database of their own."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from django.conf import settings as site
from django.core.management import call_command
from django.db import connection
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from studio.letters.models import Letter
from studio.letters.settling import settle
from studio.letters.states import GIVEN_UP_AFTER
from studio.people.models import User
from tests.letters.conftest import written
from tests.letters.post_office import HOLD, PostOffice, post_office
from tests.released.kept import empty_database

pytestmark = pytest.mark.database


@pytest.fixture(scope="module")
def database(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[None]:
    """Shared with the workers, as the test database, which may be in memory, cannot be."""
    with django_db_blocker.unblock(), empty_database(tmp_path_factory.mktemp("shared")):
        call_command("migrate", verbosity=0)
        yield


@pytest.fixture
def office(database: None, settings: Any) -> Iterator[PostOffice]:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    with post_office() as office:
        yield office


def address() -> str:
    """Of the database that this process uses, as DATABASE_URL says it."""
    told = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{told['NAME']}"
    host, user, word = (quote(told[name] or "", safe="") for name in ("HOST", "USER", "PASSWORD"))
    return f"postgresql://{user}:{word}@{host}:{told['PORT']}/{told['NAME']}"


def worker(office: PostOffice, folder: Path) -> subprocess.Popen[str]:
    """`manage.py db_worker` under the site's own settings, until nothing is left to do."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("JIGUMI_")}
    told = {"DATABASE_URL": address(), "EMAIL_URL": office.url, "JIGUMI_VAR": str(folder)}
    root = Path(site.BASE_DIR)
    return subprocess.Popen(
        [sys.executable, root / "manage.py", "db_worker", "--batch", "--no-startup-delay"],
        env={**kept, **told, "DJANGO_SETTINGS_MODULE": "studio.settings", "PYTHONPATH": str(root)},
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
    )  # fmt: skip


def done(*processes: subprocess.Popen[str]) -> None:
    connection.close()
    for process in processes:
        with closing(process.stdout):
            said = process.communicate(timeout=300)[0]
        assert process.returncode == 0, said


def test_two_workers_send_each_letter_once(office, tmp_path):
    """Each letter has two tasks, so that both workers come to it."""
    rows = {row.pk: row for row in (written(f"{number}") for number in range(6))}
    for task in DBTaskResult.objects.filter(status="READY"):
        task.task.enqueue(*task.args_kwargs["args"])
    done(*(worker(office, tmp_path) for _ in range(2)))
    assert sorted(each["Message-ID"] for each in office.taken) == sorted(
        row.message_id for row in rows.values()
    )
    assert set(Letter.objects.filter(pk__in=rows).values_list("state", "tries")) == {("sent", 1)}
    asked = [task.status for task in DBTaskResult.objects.all() if task.args_kwargs["args"][0] in rows]
    assert asked == ["SUCCESSFUL"] * 12


def test_a_worker_killed_while_it_sends_leaves_what_only_a_person_settles(office, tmp_path):
    row = written("killed")
    office.says = {"text": HOLD}
    killed = worker(office, tmp_path)
    assert office.has_read.wait(300)
    killed.send_signal(signal.SIGKILL)
    killed.communicate()
    row.refresh_from_db()
    assert (row.state, row.standing(timezone.now())) == ("sending", "sending")
    later = timezone.now() + GIVEN_UP_AFTER
    assert row.standing(later) == "perhaps sent"
    office.says = {}
    done(worker(office, tmp_path))
    assert office.taken == []  # nobody sends it again by himself
    settle(row, "again", row.changed_at.isoformat(), User.objects.first(), later)
    Letter.objects.filter(pk=row.pk).update(due_at=timezone.now())  # as if the quarter of an hour were over
    done(worker(office, tmp_path))
    row.refresh_from_db()
    assert (row.state, row.tries) == ("sent", 2)
    assert [each["Message-ID"] for each in (*office.read, *office.taken)] == [row.message_id] * 3


def test_what_is_put_off_is_tried_again_by_itself(office, tmp_path):
    row = written("put off")
    office.says = {"rcpt": "450 full"}
    done(worker(office, tmp_path))
    row.refresh_from_db()
    task = DBTaskResult.objects.get(status="READY")
    assert (row.state, task.run_after, task.args_kwargs["args"]) == ("waiting", row.due_at, [row.pk])
    early = timezone.now() - timedelta(seconds=1)
    Letter.objects.filter(pk=row.pk).update(due_at=early)
    DBTaskResult.objects.filter(pk=task.pk).update(run_after=early)
    office.says = {}
    done(worker(office, tmp_path))
    row.refresh_from_db()
    assert (row.state, row.tries, len(office.taken)) == ("sent", 2, 1)
