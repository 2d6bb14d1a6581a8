"""Behind a proxy that ends TLS: people sign in, cookies are for https alone, plain http leads there, health answers."""

from __future__ import annotations

import re
import shutil
import ssl
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.cookiejar import Cookie, CookieJar
from pathlib import Path
from typing import Any

import psutil
import pytest

from tests.faults.named_servers import needed
from tests.fleet.config import proxies
from tests.fleet.config.installation import Installation, brought_up
from tests.fleet.config.proxies import Certificate, Proxy

pytestmark = pytest.mark.slow
PASSWORD = "a-long-pass-word-4"
FOUNDED = f"""
from django.utils import timezone
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.people.acts.people import NewPerson, found_house
found_house(administrator=NewPerson("kim", "Kim", "Ash", "{PASSWORD}", (CONTROLLER, ADMINISTRATOR)), at=timezone.now())
"""


class Unled(urllib.request.HTTPRedirectHandler):
    """Where an answer leads is looked at, not followed."""

    def redirect_request(self, *args: Any) -> None:
        return None


@dataclass
class Browser:
    """Cookies, trust in one certificate, and no redirect followed."""

    certificate: Certificate
    cookies: CookieJar = field(default_factory=CookieJar)

    def asked(self, address: str, fields: dict[str, str] | None = None) -> tuple[int, Any, str]:
        """Status, headers and text."""
        trusting = ssl.create_default_context(cafile=str(self.certificate.chain))
        opener = urllib.request.build_opener(
            Unled,
            urllib.request.HTTPSHandler(context=trusting),
            urllib.request.HTTPCookieProcessor(self.cookies),
        )
        body = urllib.parse.urlencode(fields).encode() if fields else None
        request = urllib.request.Request(address, body, {"Referer": address})
        try:
            answer = opener.open(request, timeout=30)
        except urllib.error.HTTPError as other:
            answer = other
        with answer:
            return answer.status, answer.headers, answer.read().decode()


@pytest.fixture(scope="module")
def installation(
    tmp_path_factory: pytest.TempPathFactory, shared_folder: Path
) -> Iterator[Installation]:
    made = brought_up(tmp_path_factory.mktemp("behind") / "data", shared_folder)
    yield made
    for process in psutil.process_iter():
        if made.owns(process):
            process.kill()


@pytest.fixture(scope="module")
def house(installation: Installation) -> Installation:
    installation.start(HTTPS="1", ALLOWED_HOSTS="localhost")
    printed = installation.printed_until("Open https")
    assert "Open https://localhost/" in printed, printed
    done = installation.manage("shell", "-c", FOUNDED)
    assert done.returncode == 0, done.stderr
    return installation


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Certificate:
    return Certificate.made(tmp_path_factory.mktemp("tls"))


@pytest.fixture(scope="module", params=["plain_python", "nginx"])
def proxy(
    request: pytest.FixtureRequest, house: Installation, certificate: Certificate
) -> Iterator[Proxy]:
    if request.param == "nginx":
        needed(shutil.which("nginx"), "nginx")
    folder = Path(certificate.chain).parent
    with getattr(proxies, request.param)(house.port, certificate, folder) as made:
        yield made


@pytest.fixture
def browser(certificate: Certificate) -> Browser:
    return Browser(certificate)


def signed_in(browser: Browser, proxy: Proxy) -> tuple[int, Any, str]:
    _, _, page = browser.asked(f"{proxy.secure}/sign-in/")
    found = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
    assert found is not None
    fields = {"username": "kim", "password": PASSWORD, "csrfmiddlewaretoken": found[1]}
    return browser.asked(f"{proxy.secure}/sign-in/", fields)


def test_a_person_signs_in_and_is_known(proxy, browser):
    status, headers, _ = signed_in(browser, proxy)

    assert (status, headers["Location"]) == (302, "/")
    status, _, page = browser.asked(f"{proxy.secure}/units/")
    assert status == 200
    assert "Kim Ash" in page


def test_cookies_travel_by_https_alone_and_no_script_reads_the_session(proxy, browser):
    signed_in(browser, proxy)

    by_name: dict[str, Cookie] = {cookie.name: cookie for cookie in browser.cookies}
    assert by_name["sessionid"].secure and by_name["csrftoken"].secure
    assert by_name["sessionid"].has_nonstandard_attr("HttpOnly")


def test_the_browser_is_told_to_stay_with_https(proxy, browser):
    _, headers, _ = browser.asked(f"{proxy.secure}/sign-in/")

    assert "max-age=31536000" in headers["Strict-Transport-Security"]


@pytest.mark.parametrize("path", ["/", "/sign-in/?next=/due/", "/api/v1/units"])
def test_plain_http_leads_to_https(proxy, browser, path):
    status, headers, _ = browser.asked(f"{proxy.plain}{path}")

    assert status == 301
    assert headers["Location"].startswith("https://localhost")
    assert headers["Location"].endswith(path)


def test_a_form_of_another_site_is_refused(proxy, browser):
    fields = {"username": "kim", "password": PASSWORD, "csrfmiddlewaretoken": "x" * 64}

    assert browser.asked(f"{proxy.secure}/sign-in/", fields)[0] == 403


@pytest.mark.parametrize("path", ["/livez", "/readyz", "/healthz"])
def test_health_is_answered_by_plain_http_at_the_house_itself(house, browser, path):
    house.wait_for(lambda: house.health()[0] == 200)

    status, _, text = browser.asked(f"http://127.0.0.1:{house.port}{path}")

    assert status == 200
    assert '"ok": true' in text


def test_figures_are_not_told_through_the_proxy(proxy, house, browser):
    assert browser.asked(f"{proxy.secure}/metrics")[0] in {403, 404}
    assert browser.asked(f"http://127.0.0.1:{house.port}/metrics")[0] == 200
