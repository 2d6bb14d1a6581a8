"""Who a program is: a bearer token with one role, known only by its digest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils import timezone
from rest_framework.authentication import BaseAuthentication, get_authorization_header
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.permissions import BasePermission
from rest_framework.request import Request

from fleet.acts.guessed import count_unknown
from fleet.doors.tokens import digest_of, is_within_rights
from fleet.house.desks import ask
from fleet.models import ApiToken, User

if TYPE_CHECKING:  # REST framework's views import this module
    from rest_framework.views import APIView

SCHEME = "Bearer"


class TokenAuthentication(BaseAuthentication):
    """``Authorization: Bearer gb_…``. The person answerable acts, in the token's role alone."""

    def authenticate(self, request: Request) -> tuple[User, ApiToken] | None:
        """None where no bearer token was sent, so that a browser's session may serve instead."""
        words = get_authorization_header(request).split()
        if not words or words[0].lower() != SCHEME.lower().encode():
            return None
        if len(words) != 2:
            count_unknown(request, timezone.now())
            raise AuthenticationFailed("Send one token after the word Bearer.", "malformed_token")
        token = self._token_of(request, words[1])
        token.user.act_by(token)
        return token.user, token

    def authenticate_header(self, request: Request) -> str:
        return f'{SCHEME} realm="api"'

    def _token_of(self, request: Request, secret: bytes) -> ApiToken:
        digest = digest_of(secret.decode("latin-1"))
        token = ApiToken.objects.select_related("user").filter(digest=digest).first()
        if token is None:
            count_unknown(request, timezone.now())
            raise AuthenticationFailed(
                "This token is not known. Ask the administrator for one.", "unknown_token"
            )
        if token.withdrawn_at is not None:
            raise AuthenticationFailed(
                "This token was withdrawn. Ask the administrator for another.", "withdrawn_token"
            )
        if token.expires_at is not None and token.expires_at <= timezone.now():
            raise AuthenticationFailed(
                "This token has expired. Ask the administrator for another.", "expired_token"
            )
        if not is_within_rights(token.role, token.user):
            raise AuthenticationFailed(
                "The person answerable for this token no longer holds its role. Ask the administrator.",
                "role_not_held",
            )
        return token


class Reader(BasePermission):
    """Whoever holds a role may read. What changes anything is asked by the act itself."""

    def has_permission(self, request: Request, view: APIView) -> bool:
        if not request.user or not request.user.is_authenticated:
            return False
        ask(request.user, "read")
        return True
