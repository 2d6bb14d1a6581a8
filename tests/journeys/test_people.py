"""From an empty house to a crew: the first person, an invitation, a deactivation in mid-swap, a lock, an end."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator

import pytest
from django.core.management import call_command
from django.utils import timezone
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from equipment.models import StepEntry, Swap
from fleet.models import ApiToken, PersonAct, SignedIn, User
from fleet.people.acts.tokens import make_token
from tests.axe import faults_by_axe
from tests.equipment.line_world import PASSWORD as CREWS
from tests.equipment.line_world import a_line, crew

from .looks import refuse_faults
from .test_swap_by_phone import at_step, begin, kept

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PASSWORD = "tern-slide-29"
PHONE = {"width": 390, "height": 844}
LOOKS = (("light", 390), ("dark", 800), ("light", 1024), ("dark", 1920))


@pytest.fixture
def device(page: Page, live_server: LiveServer) -> Iterator[Callable[..., Page]]:
    """``device()`` is somebody else's browser, with nothing in it yet."""
    assert page.context.browser
    contexts = []

    def one(**more: object) -> Page:
        context = page.context.browser.new_context(base_url=live_server.url, **more)
        contexts.append(context)
        opened = context.new_page()
        opened.set_default_timeout(90_000)
        return opened

    yield one
    for context in contexts:
        context.close()


def sign_in(page: Page, name: str, password: str = PASSWORD) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Username").fill(name)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").click()
    page.locator("a.who").wait_for()


def an_administrator(name: str = "ada") -> User:
    names = {"first_name": "Ada", "last_name": "Lorne"}
    return User.objects.create_user(name, password=PASSWORD, roles=["administrator"], **names)


def come_in_first(page: Page) -> None:
    """By the address that the command prints."""
    out = io.StringIO()
    call_command("first_person", stdout=out)
    page.goto("/first/" + out.getvalue().strip().rpartition("/first/")[2])
    page.get_by_label("Operator’s name").fill("Varrowmoor Airways")
    page.get_by_label("Your first name").fill("Ottoline")
    page.get_by_label("Your last name").fill("Quarrell")
    page.get_by_label("Username, to sign in with").fill("o.quarrell")
    choose_password(page, "a", "Come in")
    expect(page.get_by_text("This password is too short")).to_be_visible()
    choose_password(page, PASSWORD, "Come in")


def choose_password(page: Page, password: str, button: str) -> None:
    page.get_by_label("New password").fill(password)
    page.get_by_label("The same again").fill(password)
    page.get_by_role("button", name=button).click()


def invite_clerk(page: Page) -> str:
    page.get_by_role("link", name="Invite a person").click()
    page.get_by_label("Username").fill("c.abbleby")
    page.get_by_label("First name").fill("Corwin")
    page.get_by_label("Last name").fill("Abbleby")
    page.get_by_label("Stores clerk").check()
    page.get_by_role("button", name="Invite").click()
    return page.locator(".link-once").inner_text()


def test_an_empty_house_gets_its_first_person_and_a_clerk(
    transactional_db: None, page: Page, device: Callable[..., Page]
) -> None:
    page.goto("/")
    expect(page.get_by_text("Nobody is in this house yet.")).to_be_visible()
    come_in_first(page)
    expect(page.get_by_role("heading", name="People")).to_be_visible()
    expect(page.locator("header")).to_contain_text("Varrowmoor Airways")
    link = invite_clerk(page)

    # the clerk, on another browser
    clerk = device(viewport=PHONE)
    clerk.goto(link)
    choose_password(clerk, PASSWORD, "Save and sign in")
    expect(clerk.get_by_text("Signed in as Corwin Abbleby.")).to_be_visible()
    clerk.goto("/stores/")
    expect(clerk.get_by_role("heading", level=1)).to_be_visible()

    # the address is used up, for whoever finds it
    finder = device()
    finder.goto(link)
    expect(finder.get_by_text("This address was used already")).to_be_visible()

    # another browser of the clerk's; the password is changed on the first, and the other is out
    other = device()
    sign_in(other, "c.abbleby")
    clerk.get_by_role("link", name="Account").click()
    clerk.get_by_label("Present password").fill(PASSWORD)
    choose_password(clerk, "another-gust-41", "Change it")
    expect(clerk.get_by_text("The password is changed.")).to_be_visible()
    other.goto("/stores/")
    expect(other.get_by_role("heading", name="Sign in")).to_be_visible()

    # signed in there again, and that session ended from here
    sign_in(other, "c.abbleby", "another-gust-41")
    clerk.goto("/account/")
    clerk.get_by_role("button", name="End the session of").click()
    expect(clerk.get_by_text("That session has ended")).to_be_visible()
    other.goto("/stores/")
    expect(other.get_by_role("heading", name="Sign in")).to_be_visible()
    assert list(PersonAct.objects.order_by("pk").values_list("act", flat=True)) == [
        "founded",
        "invited",
        "password_chosen",
        "password_changed",
        "sessions_ended",
    ]


@pytest.mark.parametrize("was_asked", ["after the field was left", "while still in the field"])
def test_a_technician_is_deactivated_in_mid_swap_and_nothing_typed_is_lost(
    transactional_db: None, page: Page, device: Callable[..., Page], was_asked: str
) -> None:
    crew()
    line = a_line()
    an_administrator()
    phone = device(viewport=PHONE)
    sign_in(phone, "technician", CREWS)
    swap = begin(phone, line)
    phone.get_by_role("button", name="Done", exact=True).click()
    at_step(phone, 2)
    entries = StepEntry.objects.count()

    # the administrator sees the open job, and deactivates
    sign_in(page, "ada")
    page.goto(f"/people/{User.objects.get(username='technician').pk}/")
    page.get_by_role("link", name="Deactivate").click()
    expect(page.get_by_role("heading", name="In hand now")).to_be_visible()
    page.get_by_label("Why").fill("Left the house.")
    page.get_by_role("button", name="Deactivate").click()
    expect(page.get_by_text("Deactivated: sessions and tokens have ended.")).to_be_visible()
    expect(page.locator(f"a[href='/swaps/{swap}/']")).to_be_visible()

    # what is typed meanwhile is not put aside by a sign-in page, and says why it cannot go on
    pins = phone.get_by_label("Safety pins")
    pins.fill("2")
    if was_asked == "after the field was left":
        pins.press("Tab")
    asked = phone.get_by_role("dialog")
    expect(asked).to_be_visible()
    asked.get_by_label("Password of").fill(CREWS)
    asked.get_by_role("button", name="Go on").click()
    expect(asked.get_by_text("This account is deactivated")).to_be_visible()
    assert StepEntry.objects.count() == entries

    # a mistake: active again, and the same page goes on with what was typed
    page.get_by_role("button", name="Make active again").click()
    expect(page.get_by_text("Active again, with the password")).to_be_visible()
    asked.get_by_label("Password of").fill(CREWS)
    asked.get_by_role("button", name="Go on").click()
    expect(asked).to_have_count(0)
    if was_asked == "while still in the field":
        expect(pins).to_be_focused()
        expect(pins).to_have_value("2")
    pins.press("Tab")  # a slow machine asks before the field was left, whoever is quicker
    kept(phone)
    expect(pins).to_have_value("2")
    assert StepEntry.objects.get(step__number=2).typed["count"] == "2"
    assert Swap.objects.get().opened_by.username == "technician"


def test_a_browser_left_alone_is_covered_and_goes_on_where_it_was(
    transactional_db: None, page: Page
) -> None:
    an_administrator()
    page.clock.install()
    sign_in(page, "ada")
    page.goto("/people/invite/")
    page.get_by_label("First name").fill("Corwin")
    page.clock.fast_forward("31:00")
    asked = page.get_by_role("dialog")
    expect(asked).to_be_visible()
    page.keyboard.press("Escape")
    expect(asked).to_be_visible()
    asked.get_by_label("Password of Ada Lorne").fill("wrong")
    asked.get_by_role("button", name="Go on").click()
    expect(asked.get_by_text("do not belong together")).to_be_visible()

    report = faults_by_axe(page)
    assert not report, report
    asked.get_by_label("Password of Ada Lorne").fill(PASSWORD)
    asked.get_by_role("button", name="Go on").click()

    expect(asked).to_have_count(0)
    expect(page.get_by_label("First name")).to_have_value("Corwin")
    # its form has the new token against forgery
    page.get_by_label("Username").fill("c.abbleby")
    page.get_by_label("Last name").fill("Abbleby")
    page.get_by_label("Stores clerk").check()
    page.get_by_role("button", name="Invite").click()
    expect(page.locator(".link-once")).to_be_visible()


def test_two_pages_of_one_browser_are_covered_and_opened_together(
    transactional_db: None, page: Page
) -> None:
    an_administrator()
    page.context.clock.install()
    sign_in(page, "ada")
    page.goto("/people/")
    other = page.context.new_page()
    other.goto("/people/invite/")
    other.get_by_label("First name").fill("Corwin")
    page.context.clock.fast_forward("31:00")
    expect(page.get_by_role("dialog")).to_be_visible()
    expect(other.get_by_role("dialog")).to_be_visible()

    page.get_by_role("dialog").get_by_label("Password of").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()

    expect(other.get_by_role("dialog")).to_have_count(0)
    other.get_by_label("Username").fill("c.abbleby")
    other.get_by_label("Last name").fill("Abbleby")
    other.get_by_label("Stores clerk").check()
    other.get_by_role("button", name="Invite").click()
    expect(other.locator(".link-once")).to_be_visible()


def test_without_script_a_form_that_came_too_late_goes_on_after_the_password(
    transactional_db: None, device: Callable[..., Page]
) -> None:
    ada = an_administrator()
    plain = device(java_script_enabled=False, viewport=PHONE)
    sign_in(plain, "ada")
    plain.goto("/people/invite/")
    plain.get_by_label("Username").fill("c.abbleby")
    plain.get_by_label("First name").fill("Corwin")
    plain.get_by_label("Last name").fill("Abbleby")
    plain.get_by_label("Stores clerk").check()
    SignedIn.objects.get(user=ada).session.delete()

    plain.get_by_role("button", name="Invite").click()
    expect(plain.get_by_role("heading", name="Your password, to go on")).to_be_visible()
    plain.get_by_label("Username").fill("ada")
    plain.get_by_label("Password").fill(PASSWORD)
    plain.get_by_role("button", name="Go on").click()

    expect(plain.get_by_role("heading", name="Corwin Abbleby")).to_be_visible()
    expect(plain.locator(".link-once")).to_be_visible()


def test_a_list_asked_for_by_a_session_that_ended_asks_in_place(
    transactional_db: None, page: Page
) -> None:
    person = User.objects.create_user("mira", password=PASSWORD, roles=["controller"])
    sign_in(page, "mira")
    page.goto("/units/")
    SignedIn.objects.get(user=person).session.delete()
    page.locator("#unit-list").evaluate("list => { list.dataset.was = 'here'; }")

    page.locator("main form select, main form input").first.evaluate(
        "field => field.dispatchEvent(new Event('change', { bubbles: true }))"
    )

    asked = page.get_by_role("dialog")
    expect(asked).to_be_visible()
    expect(page.get_by_role("heading", name="Sign in")).to_have_count(0)
    asked.get_by_label("Password of").fill(PASSWORD)
    asked.get_by_role("button", name="Go on").click()
    expect(page.locator("#unit-list:not([data-was])")).to_be_visible()


def test_every_screen_of_people_is_accessible_and_within_its_width(
    transactional_db: None, page: Page, device: Callable[..., Page]
) -> None:
    crew()
    ada = an_administrator()
    person = User.objects.get(username="technician")
    make_token(by=ada, user=ada, label="board", role="administrator", at=timezone.now())
    sign_in(page, "ada")
    page.goto("/people/")
    link = invite_clerk(page)
    names = ("change", "deactivate", "authorise", "jobs")
    acts = [f"/people/{person.pk}/{name}/" for name in names]
    own = ["/people/", "/people/invite/", f"/people/{person.pk}/", f"/people/{ada.pk}/", *acts]

    refuse_faults(
        page,
        [*own, "/account/", "/api/tokens/", f"/api/tokens/{ApiToken.objects.get().pk}/"],
        LOOKS,
    )

    stranger = device()
    refuse_faults(stranger, ["/sign-in/", link, "/first/x/"], LOOKS)
