"""The site as `manage.py serve` serves it, asked over sockets: directly, and as a proxy with TLS would."""

import http.client
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from shutil import copy
from urllib.parse import urlencode

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

HOST, OWNER = "quotes.studio.example", "runa@studio.example"
OWN, STRANGER, FORGED = "192.0.2.7", "198.51.100.9", "203.0.113.1"
PROXIED = {"JIGUMI_HTTPS": "1", "JIGUMI_BEHIND_PROXY": "1"}


def manage(env: dict[str, str], *words: str) -> subprocess.Popen[str]:
    """A command of the site in a process of its own, with nothing of ours in its environment."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("JIGUMI_")}
    env = {**kept, "DJANGO_SETTINGS_MODULE": "tests.settings", "JIGUMI_HOSTS": HOST, **env}
    root = Path(settings.BASE_DIR)
    return subprocess.Popen(
        [sys.executable, root / "manage.py", *words],
        env={**env, "PYTHONPATH": str(root)}, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A database with an owner, and the owner's password."""
    path = tmp_path_factory.mktemp("studio") / "db"
    env, said = {"DATABASE_URL": f"sqlite:///{path}"}, ""
    for words in (("migrate", "--verbosity=0"), ("make_owner", OWNER)):
        with manage(env, *words) as process:
            said = process.communicate()[0]
        assert process.returncode == 0
    return path, said.split()[-1]


@dataclass
class Site:
    port: int
    password: str
    cookies: dict[str, str] = field(default_factory=dict)

    def ask(self, method: str, path: str, body: object = None, **headers: str) -> tuple[int, str, str]:
        """Status, Location and text."""
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        cookie = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        link.request(method, path, body, {"Host": HOST, "Cookie": cookie, **named})
        answer = link.getresponse()
        for cookie in answer.headers.get_all("Set-Cookie", ()):
            self.cookies.update([cookie.split(";")[0].split("=", 1)])
        text = answer.read().decode()
        link.close()
        return answer.status, answer.getheader("Location", ""), text

    def sign_in(self, password: str, scheme: str = "https", **headers: str) -> int:
        self.cookies = {}
        page = self.ask("GET", "/sign-in/", **headers)[2]
        token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
        assert token, page
        fields = {"csrfmiddlewaretoken": token[1], "username": OWNER, "password": password}
        form = {"Content-Type": "application/x-www-form-urlencoded", "Referer": f"{scheme}://{HOST}/sign-in/"}
        return self.ask("POST", "/sign-in/", urlencode(fields), **form, **headers)[0]


def from_proxy(*addresses: str) -> dict[str, str]:
    """What a proxy says of a visitor; it adds the address that it saw to those that it was told."""
    return {"X_Forwarded_Proto": "https", "X_Forwarded_For": ", ".join(addresses)}


@pytest.fixture
def served(studio: tuple[Path, str], tmp_path: Path):
    @contextmanager
    def serving(**env: str) -> Iterator[Site]:
        own = copy(studio[0], tmp_path / "db")
        server = manage({**env, "DATABASE_URL": f"sqlite:///{own}"}, "serve", "--listen=127.0.0.1:0")
        try:
            said = re.search(r"127\.0\.0\.1:(\d+) ", server.stdout.readline())
            yield Site(int(said[1]), studio[1])
        finally:
            server.kill()
            server.communicate()

    return serving


def test_through_a_proxy_pages_open_and_each_visitor_has_guesses_of_his_own(served) -> None:
    with served(**PROXIED) as site:
        # Without TLS: to the same page with it, which opens; the redirect does not come again.
        status, location, _ = site.ask("GET", "/sign-in/", X_Forwarded_Proto="http", X_Forwarded_For=OWN)
        assert (status, location) == (301, f"https://{HOST}/sign-in/")
        assert site.ask("GET", "/sign-in/", **from_proxy(OWN))[0] == 200
        # The stranger says each time that he is somebody else, and that he is the owner.
        told = [FORGED, OWN, "10.0.0.1, 10.0.0.2", "", FORGED]
        statuses = [site.sign_in("guess", **from_proxy(*filter(None, (say, STRANGER)))) for say in told]
        assert statuses == [200, 200, 200, 200, 429]
        assert site.sign_in(site.password, **from_proxy(STRANGER)) == 429
        assert site.sign_in(site.password, **from_proxy(OWN)) == 302
        assert site.ask("GET", "/", **from_proxy(OWN))[0] == 200
        assert site.sign_in(site.password, **from_proxy(FORGED)) == 302  # nobody failed there


def test_without_a_proxy_nobody_chooses_an_address_or_a_scheme(served) -> None:
    with served() as site:
        assert site.ask("GET", "/sign-in/")[0] == 200
        guesses = [
            site.sign_in(
                "guess", "http", **from_proxy(f"203.0.113.{number}"), Forwarded=f"for=203.0.113.{number}"
            )
            for number in range(5)
        ]
        assert guesses == [200, 200, 200, 200, 429]
        assert site.sign_in(site.password, "http", **from_proxy(OWN)) == 429


def test_a_proxy_elsewhere_is_the_only_one_that_is_believed(served) -> None:
    with served(JIGUMI_HTTPS="1", JIGUMI_BEHIND_PROXY="192.0.2.200") as site:
        assert site.ask("GET", "/sign-in/", **from_proxy(OWN))[0] == 301


def test_bodies_end_where_nobody_needs_more(served) -> None:
    parts = {"Content_Type": "multipart/form-data; boundary=edge"}
    head = b'--edge\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\n'
    sizes = {"small": 90_000, "visitors": 110_000, "photograph": 25 * 10**6}
    bodies = {name: head + b"a" * size + b"\r\n--edge--\r\n" for name, size in sizes.items()}

    def chunks(body: bytes) -> Iterator[bytes]:
        yield from (body[start : start + 50_000] for start in range(0, len(body), 50_000))

    with served() as site:
        for chunked in (False, True):
            post = [
                site.ask("POST", "/sign-in/", chunks(body) if chunked else body, **parts)
                for body in bodies.values()
            ]
            assert [status for status, _, _ in post] == [403, 413, 413]  # 403: read, and it had no token
            assert "That is too large" in post[1][2]
        # What is announced as more than anybody needs is refused before it is sent.
        status, _, text = site.ask("POST", "/sign-in/", Content_Length=str(300 * 10**6))
        assert (status, "Too Large" in text) == (413, True)
        assert site.sign_in(site.password, "http") == 302
        assert site.ask("POST", "/sign-out/", bodies["photograph"], **parts)[0] == 403  # read: no token


def test_tls_without_a_proxy_is_refused_with_what_would_be_right(settings) -> None:
    settings.HTTPS, settings.TRUSTED_PROXY = True, ""
    for command in ("serve", "demo"):
        with pytest.raises(CommandError, match="JIGUMI_BEHIND_PROXY=1"):
            call_command(command)


@pytest.mark.parametrize("listen", ["8000", "127.0.0.1:eight", "127.0.0.1:"])
def test_an_address_that_is_none_is_named(listen: str) -> None:
    with pytest.raises(CommandError, match=re.escape(repr(listen))):
        call_command("serve", f"--listen={listen}")


@pytest.mark.parametrize("listen", ["127.0.0.1:70000", "no-such-host.invalid:8000"])
def test_an_address_that_cannot_be_had_is_named(listen: str) -> None:
    with pytest.raises(CommandError, match=r"busy or not allowed.*--listen="):
        call_command("serve", f"--listen={listen}")
