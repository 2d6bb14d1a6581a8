"""One signature's row: its content and digest, and the authorisation it was given under, copied."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from equipment.common.digests import Content, digest_of
from equipment.judging.release.signing import AuthorisationFact, authorisation_for
from equipment.models import Signature
from equipment.swaps.reads.contents import data_revision, with_signer
from equipment.swaps.reads.people import authorisations_of
from equipment.swaps.reads.rows import SwapRows, day_of, kind_of, type_of
from fleet.models import Authorisation
from fleet.people.proofs import Proof
from fleet.words.said import day_words


@dataclass(frozen=True)
class Signing:
    """Signatures about to be given at one moment: by whom, on which rows."""

    rows: SwapRows
    proof: Proof
    act_id: UUID
    at: datetime
    sender_at: datetime | None = None

    @cached_property
    def authorisations(self) -> list[AuthorisationFact]:
        """All that the person holds or held, read once."""
        return authorisations_of(self.proof.user)

    def held(self, act: str) -> Authorisation | None:
        """The authorisation that allows an act on this swap that day."""
        swap = self.rows.swap
        kind, craft = kind_of(swap), type_of(swap)
        fact = authorisation_for(act, craft, kind, self.authorisations, day_of(swap, self.at))
        return Authorisation.objects.get(pk=fact.id) if fact else None


def signature_of(
    signing: Signing, sort: str, content: Content, statement: str, held: Authorisation | None
) -> Signature:
    """A signature not saved yet."""
    user = signing.proof.user
    name = user.shown_name[:120]
    under = authorisation_words(held) if held else ""
    content = with_signer(content, name, under, signing.at)
    return Signature(
        act_id=signing.act_id,
        swap=signing.rows.swap,
        sort=sort,
        by=user,
        name=name,
        statement=statement,
        data_revision=data_revision(signing.rows.swap),
        authorisation=held,
        authorisation_words=under,
        content=content,
        digest=digest_of(content),
        signed_at=signing.at,
        sender_at=signing.sender_at,
    )


def authorisation_words(held: Authorisation) -> str:
    """``licence Q-123, certifying engineer, stamp 12, until 31 Dec 2027``: as it was when signed."""
    parts = [
        f"{held.get_sort_display()} {held.number}",
        held.title,
        f"stamp {held.stamp}" if held.stamp else "",
        f"until {day_words(held.until_on)}",
    ]
    return ", ".join(part for part in parts if part)[:200]
