"""For whom every address is: the whole map, walked as each."""

import contextlib
import re
from collections.abc import Iterator
from io import StringIO
from uuid import UUID

import pytest
from django.conf import settings
from django.core.management import call_command
from django.test import Client
from django.urls import NoReverseMatch, URLPattern, URLResolver, get_resolver, resolve, reverse
from django.urls.converters import UUIDConverter

from studio.commissions.models import Option
from studio.people.audience import audience_of
from studio.people.models import User
from studio.workshop.models import RateBookRevision

ANYONE = {"sign-in"}
CLIENTS_LINK = {"proposal-page", "proposal-pdf", "proposal-answer", "proposal-message"}
WORKSHOP = {"home", "sign-out", "workshop-calendar", "workshop-measured", "workshop-cautions"}
OWNER = {"erase_client", "workshop-new-currency"}
CHANGED_BY_OWNER = {"workshop", "workshop-rates"}
"""The designer reads them. Every other address is the designer's; a new one is put where it belongs here."""
ROLES = {None: 0, User.Role.WORKSHOP: 1, User.Role.DESIGNER: 2, User.Role.OWNER: 3}
NEEDED = {"anyone": 0, "client's link": 0, "workshop": 1, "designer": 2, "owner": 3}


def expected(name: str) -> tuple[str, str]:
    """Who may read, and who may change, by the lists above."""
    for listed, who in (
        (ANYONE, "anyone"), (CLIENTS_LINK, "client's link"), (WORKSHOP, "workshop"), (OWNER, "owner"),
    ):  # fmt: skip
        if name in listed:
            return who, who
    return "designer", "owner" if name in CHANGED_BY_OWNER else "designer"


def views(resolver: URLResolver) -> Iterator[URLPattern]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLResolver):
            yield from views(entry)
        else:
            yield entry


def path_of(view: URLPattern) -> str:
    """The address with something in every place; nothing needs to be there."""
    namespace = {"proposals": "proposals:", "public": "public:", "board": "board:", "jobs": "jobs:"}
    places = {
        name: UUID(int=0) if isinstance(converter, UUIDConverter) else "nothing"
        for name, converter in view.pattern.converters.items()
    }
    app = view.callback.__module__.split(".")[1]
    for prefix in ("", namespace.get(app, ""), "public:", "proposals:"):
        with contextlib.suppress(NoReverseMatch):
            return reverse(prefix + view.name, kwargs=places)
    raise AssertionError(view.name)


def test_every_view_says_for_whom_it_is() -> None:
    found = {view.name: audience_of(view.callback) for view in views(get_resolver())}
    assert found == {name: expected(name) for name in found}
    opened = {
        view.name for view in views(get_resolver()) if not getattr(view.callback, "login_required", True)
    }
    assert opened == ANYONE | CLIENTS_LINK


@pytest.mark.parametrize("role", ROLES, ids=lambda role: str(role and role.value))
def test_the_map_walked_as_each(client: Client, db: None, role: User.Role | None) -> None:
    """Whoever may not is turned away before anything is looked up; whoever may, never is."""
    if role:
        client.force_login(User.objects.create_user("who@studio.example", display_name="Who", role=role))
    for view in sorted(
        views(get_resolver()), key=lambda view: view.name == "sign-out"
    ):  # signed in till last
        for method, who in zip(("get", "post"), expected(view.name), strict=True):
            answer = getattr(client, method)(path_of(view))
            told = f"{role} {method} {view.name}: {answer.status_code}"
            if ROLES[role] >= NEEDED[who]:
                assert answer.status_code != 403, told
                assert not answer.get("Location", "").startswith("/sign-in/?next"), told
            elif role:
                assert answer.status_code == 403, told
            else:
                assert answer["Location"].startswith("/sign-in/?next"), told


def test_the_workshop_sees_no_price_and_no_way_to_one(client: Client, db: None) -> None:
    call_command("load_demo", "--if-empty", stdout=StringIO())
    client.force_login(User.objects.create_user("bo@studio.example", role=User.Role.WORKSHOP))
    assert client.get("/")["Location"] == reverse("workshop-calendar")
    for name in ("workshop-calendar", "workshop-measured"):
        page = client.get(reverse(name)).content.decode()
        assert not re.search(r"[£€$]|GBP|margin", page)
        reached = {
            resolve(path).url_name for path in re.findall(r'(?:href|action)="(/(?!static)[^"?]*)', page)
        }
        assert reached <= WORKSHOP
    option = Option.objects.filter(commission__title="Practice room screen").get(letter="A")
    page = client.get(reverse("workshop-measured"), {"option": option.pk, "plate": 0}).content.decode()
    assert f"Plates of {option.commission.public_id}, A" in page
    assert f'value="{option.commission.public_id}, A: ' in page
    assert not re.search("Practice room|Osier|Tarn Lane|Reception", page)


def test_a_designer_reads_the_rates_and_changes_none(client: Client, db: None) -> None:
    client.force_login(User.objects.create_user("tam@studio.example", role=User.Role.DESIGNER))
    page = client.get("/workshop/labour/").content.decode()
    assert "Only an owner of the studio changes these" in page
    assert '<fieldset class="all" disabled>' in page
    before = RateBookRevision.objects.count()
    assert client.post("/workshop/labour/", {"add": "roles"}).status_code == 403
    assert client.post("/workshop/measured/", {"hazard": "take"}).status_code == 403
    assert RateBookRevision.objects.count() == before


def test_stranger_is_sent_to_sign_in(client: Client, db: None) -> None:
    answer = client.post("/sign-out/")
    assert answer["Location"] == "/sign-in/?next=/sign-out/"


@pytest.mark.parametrize("directive", ["script-src 'self'", "style-src 'self'", "default-src 'none'"])
def test_pages_may_load_nothing_inline_or_foreign(client: Client, db: None, directive: str) -> None:
    policy = client.get("/sign-in/")["Content-Security-Policy"].split("; ")
    assert directive in policy
    assert "unsafe" not in " ".join(policy)


def test_cookies_stay_with_the_browser(client: Client, db: None) -> None:
    cookie = client.get("/sign-in/").cookies[settings.CSRF_COOKIE_NAME]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")


def test_expired_session_sends_the_whole_page_to_sign_in(client: Client, db: None) -> None:
    """Not only the part that htmx asked for."""
    headers = {"HX-Request": "true", "HX-Current-URL": "http://testserver/clients/?page=2"}
    answer = client.post("/sign-out/", headers=headers)
    assert answer.status_code == 200
    assert answer["HX-Redirect"] == "/sign-in/?next=%2Fclients%2F%3Fpage%3D2"
