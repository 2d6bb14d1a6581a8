"""The page of tokens is in the navigation of those who may manage them, and of nobody else."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from fleet.house.desks import ACTS, ROLES
from fleet.models import User


@pytest.mark.django_db
@pytest.mark.parametrize("role", [role for role, _ in ROLES])
def test_who_may_manage_tokens_finds_their_page_from_every_page(client: Client, role: str) -> None:
    client.force_login(User.objects.create_user(role, roles=[role]))
    address = reverse("api-tokens")

    page = client.get(reverse("fleet:loads")).content.decode()

    may = role in ACTS["manage_tokens"]
    assert (f'href="{address}"' in page) == may
    assert (client.get(address).status_code == 200) == may
