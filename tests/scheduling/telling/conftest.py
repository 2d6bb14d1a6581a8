"""A mail server's port, and what arrives there."""

from __future__ import annotations

import socket

import pytest

from tests.scheduling.telling.postbox import Box


@pytest.fixture
def box() -> Box:
    return Box()


@pytest.fixture
def port(settings) -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        number = free.getsockname()[1]
    settings.MAIL_HOST, settings.MAIL_PORT = "127.0.0.1", number
    settings.HOUSE_ADDRESS = "https://house.invalid"
    return number
