"""Makers of parts, and the other names under which they appear."""

from __future__ import annotations

from equipment.common import lookups
from equipment.models import Maker, MakerAlias
from fleet.intake.columns import CODE
from fleet.intake.registry import Column, SheetKind
from fleet.loading.acts.bring_in import bring_in_rows
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain


def bring_makers(batch: Batch) -> None:
    owners = batch.bringing.looked_up("makers", lookups.all_makers)
    codes = dict(Maker.objects.values_list("code", "pk"))
    for line in batch.good:
        for alias in _aliases(batch["aliases"][line]):
            owner = owners.get(alias.upper())
            if owner is not None and owner != codes.get(batch["code"][line]):
                batch.refuse(
                    line,
                    "aliases",
                    "one_maker_per_alias",
                    f"'{alias}' names another maker already. Leave it out, or check the maker's code.",
                )
    values = {"code": batch["code"], "name": batch["name"]}
    lines = batch.good
    bring_plain(batch, Maker, key=("code",), values=values, may_change=("name",))
    _bring_aliases(batch, [line for line in lines if batch.outcomes[line] != "refused"])


def _aliases(text: str | None) -> list[str]:
    return [alias.strip() for alias in (text or "").split(";") if alias.strip()]


def _bring_aliases(batch: Batch, lines: list[int]) -> None:
    codes = dict(Maker.objects.values_list("code", "pk"))
    there = {alias.upper() for alias in MakerAlias.objects.values_list("alias", flat=True)}
    new: dict[str, tuple[int, str, int]] = {}
    for line in lines:
        for alias in _aliases(batch["aliases"][line]):
            if alias.upper() not in there:
                new[alias.upper()] = (codes[batch["code"][line]], alias, line)
    if new:
        bring_in_rows(
            by=batch.bringing.by,
            act=batch.table.kind.act,
            model=MakerAlias,
            columns={
                "maker_id": [k for k, _, _ in new.values()],
                "alias": [a for _, a, _ in new.values()],
            },
            fixed={},
        )
        batch.bringing.cache.clear()
        for _, _, line in new.values():
            batch.accept(line)


MAKERS = SheetKind(
    "Makers",
    "Makers of parts, with the other names and codes under which they appear.",
    10,
    "enter_part_data",
    (
        Column(
            "Code",
            "code",
            CODE,
            True,
            "Short code of the maker.",
            ("maker", "cage", "cage code"),
            most=16,
        ),
        Column("Name", "name", needed=True, meaning="Its name."),
        Column(
            "Aliases",
            "aliases",
            meaning="Other names and codes, set apart by semicolons.",
            aliases=("also known as", "other names"),
            most=2000,
        ),
    ),
    bring_makers,
    [["EXMKR", "Example Maker", "EX MAKER LTD; E0X01"]],
    aliases=("Manufacturers",),
)

SHEETS = (MAKERS,)
