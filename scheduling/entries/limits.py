"""Limits as pages read them: by programme and kind in sentences, revision beside revision."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Count

from fleet.words.said import day_words
from scheduling.facts.rules import Rule, every_revision
from scheduling.models import DueItem, Limit, Programme
from scheduling.programme.sentences import Names, consequences, sentence_of

from .compliance import unknown_serials

Key = tuple[int, str]


@dataclass(slots=True)
class Listed:
    """One limit of the list: the revision in force on the day (or the next to come) in a sentence."""

    key: int
    code: str
    revision: str
    title: str
    sentence: str
    source: str
    is_directive: bool
    items: int
    coming: str
    state: str
    unknown: int = 0


@dataclass(slots=True)
class OfProgramme:
    """A programme with its limits by the name of the kind that they are about."""

    programme: Programme
    kinds: dict[str, list[Listed]] = field(default_factory=dict)


def listed_on(day: date) -> list[OfProgramme]:
    """Every programme with its limits as of a day: a fixed number of queries."""
    revisions = every_revision()
    names = Names.of(rule for _, _, rule in revisions)
    counted = Counter(dict(DueItem.objects.order_by().values_list("limit").annotate(Count("pk"))))
    by_limit: dict[Key, list[tuple[date | None, date | None, Rule]]] = defaultdict(list)
    for one in revisions:
        by_limit[one[2].programme_id, one[2].limit.code].append(one)
    found = {row.pk: OfProgramme(row) for row in Programme.objects.order_by("code")}
    for (programme, _), several in sorted(by_limit.items()):
        rule = in_force(several, day) or several[-1][2]
        kinds = found[programme].kinds
        kind = names.kinds.get(rule.kind_id or 0, "Of any kind")
        kinds.setdefault(kind, []).append(_listed(rule, several, names, counted, day))
    unknown = unknown_serials(rule for _, _, rule in revisions if rule.is_directive)
    for programme_shown in found.values():
        for listed in (one for several in programme_shown.kinds.values() for one in several):
            listed.unknown = len(unknown.get(listed.key, ()))
        programme_shown.kinds = dict(sorted(programme_shown.kinds.items()))
    return list(found.values())


def in_force(several: list[tuple[date | None, date | None, Rule]], day: date) -> Rule | None:
    """The revision of one limit that holds on a day: the latest begun that has not ended."""
    held = [
        (since or date.min, rule.id, rule)
        for since, until, rule in several
        if (since or day) <= day <= (until or day)
    ]
    return max(held, key=lambda one: one[:2])[2] if held else None


def _listed(
    rule: Rule,
    several: list[tuple[date | None, date | None, Rule]],
    names: Names,
    counted: Counter[int],
    day: date,
) -> Listed:
    coming = [(since, other) for since, _, other in several if since and since > day]
    first = min(coming, key=lambda one: one[0]) if coming else None
    holds = in_force(several, day)
    state = "" if holds else "not yet in force" if first else "no longer in force"
    limit = rule.limit
    return Listed(
        key=rule.id,
        code=limit.code,
        revision=limit.revision,
        title=limit.title,
        sentence=sentence_of(rule, names),
        source=f"{limit.document} revision {limit.document_revision}",
        is_directive=rule.is_directive,
        items=counted[rule.id],
        coming=f"revision {first[1].limit.revision} from {day_words(first[0])}" if first else "",
        state=state,
    )


# --- revision beside revision -----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Aspect:
    """One line of the comparison: what each revision says of it, and which say another thing than
    the one before."""

    name: str
    cells: tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """A limit's revisions, the latest first, side by side."""

    limits: tuple[Limit, ...]
    aspects: tuple[Aspect, ...]
    latest: Rule


def compared(programme_id: int, code: str) -> Compared | None:
    """Every revision of a limit side by side; None if there is no such limit."""
    rows = {
        row.pk: row
        for row in Limit.objects.filter(programme=programme_id, code__iexact=code)
        .select_related("programme", "work", "kind", "recorded_by")
        .prefetch_related("resets__work")
    }
    rules = {rule.id: rule for _, _, rule in every_revision() if rule.id in rows}
    if not rules:
        return None
    names = Names.of(rules.values())
    order = sorted(rows.values(), key=lambda row: (row.from_on or date.min, row.pk), reverse=True)
    aspects = []
    for name, say in _ASPECTS.items():
        said = [say(row, rules[row.pk], names) for row in order]
        if any(said):
            older = [*said[1:], said[-1]]
            cells = tuple((one, one != before) for one, before in zip(said, older, strict=True))
            aspects.append(Aspect(name, cells))
    return Compared(tuple(order), tuple(aspects), rules[order[0].pk])


def _by(row: Limit) -> str:
    who = row.recorded_by.shown_name if row.recorded_by else "a load"
    return f"{who}, {day_words(row.recorded_at.date())}"


_ASPECTS = {
    "Rule": lambda row, rule, names: sentence_of(rule, names),
    "In force": lambda row, rule, names: " ".join(
        filter(
            None,
            [
                f"from {day_words(row.from_on)}" if row.from_on else "always",
                f"until {day_words(row.until_on)}" if row.until_on else "",
            ],
        )
    ),
    "Consequences": lambda row, rule, names: " ".join(consequences(rule.limit)),
    "Also restarted by": lambda row, rule, names: ", ".join(
        reset.work.name for reset in row.resets.all()
    ),
    "Directive": lambda row, rule, names: (
        f"yes{f', paragraph {row.paragraph}' if row.paragraph else ''}" if row.is_directive else ""
    ),
    "Source": lambda row, rule, names: f"{row.document} revision {row.document_revision}",
    "Entered by": lambda row, rule, names: _by(row),
    "Why": lambda row, rule, names: row.reason,
}
