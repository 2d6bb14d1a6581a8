"""A file as a program brings it: in base64, what it is following from its content."""

from __future__ import annotations

import base64
import binascii
from typing import Any

from rest_framework import serializers
from rest_framework.validators import ProhibitSurrogateCharactersValidator

from equipment.common.attached import FileFact
from fleet.doors.fields import Shape, StrictText


class Base64Text(serializers.CharField):
    """Text that only decoding judges: to look at each of ten million letters by itself takes a second."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        slow = ProhibitSurrogateCharactersValidator
        self.validators = [each for each in self.validators if not isinstance(each, slow)]


class FileSent(Shape):
    """A file: what it is follows from its content, whatever its name says."""

    name = StrictText(max_length=120)
    content = Base64Text(
        max_length=15 * 2**20, trim_whitespace=False, help_text="In base64; 10 MB at most."
    )

    def validate_content(self, text: str) -> bytes:
        try:
            return base64.b64decode(text, validate=True)
        except (ValueError, binascii.Error) as error:
            words = "This is not base64. Send the file's bytes so."
            raise serializers.ValidationError(words, "not_base64") from error

    def validate(self, attrs: dict[str, Any]) -> Any:
        return FileFact(**attrs)
