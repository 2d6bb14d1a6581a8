"""A browser as a person knows it, out of what it says of itself."""

from __future__ import annotations

_BROWSERS = ("Edg/", "OPR/", "Firefox/", "Chrome/", "Safari/")
_NAMES = {
    "Edg/": "Edge",
    "OPR/": "Opera",
    "Firefox/": "Firefox",
    "Chrome/": "Chrome",
    "Safari/": "Safari",
}
_DEVICES = ("iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux")


def browser_words(user_agent: str) -> str:
    """A browser as a person knows it: *Firefox on Windows*."""
    browser = next((_NAMES[mark] for mark in _BROWSERS if mark in user_agent), "a browser")
    device = next((name for name in _DEVICES if name in user_agent), "")
    return f"{browser} on {device}" if device else browser
