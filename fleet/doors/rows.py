"""What is shown of a row of the records, made from its model: only what the model cannot know is written.

A :class:`RowShown` shows a row's columns by their own names, as ``shows`` lists them, and then the
fields that are written out::

    class CheckShown(RowShown):
        of = Check
        shows = "id aircraft.registration name starts_on ends_on station.code is_cancelled"
        told = {"ends_on": "The last day on the ground."}
        sort = serializers.ChoiceField(Check.SORTS)

Whether a column is text, a day, a number or an instant, and whether it may be null, the model (``of``)
knows. ``station`` shows a relation's id and ``station.code`` what it is known by; either is called
``station``. ``told`` has words for the schema. What has another name or a shape of its own (a place, one
of some choices) is written out as in any serializer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, ClassVar

from django.contrib.postgres.fields import ArrayField
from django.db import models
from rest_framework import serializers

from .fields import Instant

Field = serializers.Field[Any, Any, Any, Any]


class RowShown(serializers.Serializer[Any]):
    # Described over the module: the schema would take words from here for every shape that has none.

    of: ClassVar[type[models.Model]]
    shows: ClassVar[str] = ""
    told: ClassVar[Mapping[str, str]] = {}

    def __init_subclass__(cls) -> None:
        astray = set(cls.told) - {path.partition(".")[0] for path in cls.shows.split()}
        if astray:
            raise TypeError(f"{cls.__name__}.told is of what it does not show: {sorted(astray)}.")

    def get_fields(self) -> dict[str, Field]:
        """Every field by its name: those that the model tells, then those written out."""
        columns: dict[str, Field] = {}
        for path in self.shows.split():
            name = path.partition(".")[0]
            columns[name] = column_shown(self.of, path, help_text=self.told.get(name, ""))
        return columns | super().get_fields()


def column_shown(model: type[models.Model], path: str, *, help_text: str = "") -> Field:
    """How a column is shown, or one of a row that it refers to (``station.code``).

    TypeError of a column of which the model does not tell how.
    """
    *through, last = path.split(".")
    options: dict[str, Any] = {"help_text": help_text} if help_text else {}
    if through:
        options["source"] = path
    is_sure = True
    for name in through:
        relation = model._meta.get_field(name)
        is_sure = is_sure and isinstance(relation, models.ForeignKey) and not relation.null
        model = relation.related_model  # type: ignore[assignment]
    column = model._meta.pk if last == "pk" else model._meta.get_field(last)
    if not isinstance(column, models.Field):
        raise TypeError(f"{path}: write out how this is shown.")
    if isinstance(column, models.ForeignKey):
        options["source"] = ".".join([*through, column.attname])
    if not is_sure:
        options |= {"default": None, "allow_null": True}
    elif column.null:
        options["allow_null"] = True
    return _made(column, path, options)


def _made(column: models.Field[Any, Any], path: str, options: dict[str, Any]) -> Field:
    if isinstance(column, ArrayField):
        return serializers.ListField(child=_made(column.base_field, path, {}), **options)
    for kind, make in _FIELDS.items():
        if isinstance(column, kind):
            return make(options)
    raise TypeError(f"{path}: write out how this is shown.")


#: An instant is a day to Django, and a key a number: what is more particular stands first.
_FIELDS: Mapping[type[models.Field[Any, Any]], Callable[[dict[str, Any]], Field]] = {
    models.ForeignKey: lambda options: serializers.IntegerField(**options),
    models.IntegerField: lambda options: serializers.IntegerField(**options),
    models.FloatField: lambda options: serializers.FloatField(**options),
    models.BooleanField: lambda options: serializers.BooleanField(**options),
    models.DateTimeField: lambda options: Instant(read_only=True, **options),
    models.DateField: lambda options: serializers.DateField(**options),
    models.UUIDField: lambda options: serializers.UUIDField(**options),
    models.JSONField: lambda options: serializers.JSONField(**options),
    models.CharField: lambda options: serializers.CharField(**options),
    models.TextField: lambda options: serializers.CharField(**options),
}
