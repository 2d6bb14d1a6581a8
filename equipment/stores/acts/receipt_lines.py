"""The lines of a receipt read one by one, with what their certificate says of each; refused at their line."""

from __future__ import annotations

from collections.abc import Sequence

from equipment.common.attached import refuse_file
from fleet.house.refusals import Refusal, Refused

from .facts import Receipt, ReceiptLine
from .lines import Meant, resolve_line
from .papers import is_of_another, refuse_covers, refuse_paper, refuse_printed, refuse_uncertified


def meant_lines(receipt: Receipt) -> list[Meant]:
    """Each line read and its paper looked at; the first refusal names its line if there are several."""
    if receipt.paper is not None:
        refuse_paper(receipt.paper, receipt.received_on)
        refuse_file(receipt.paper.file)
        own = [line for line in receipt.lines if not line.is_of_another]
        refuse_covers(receipt.paper, sum(line.quantity for line in own))
    found: list[Meant] = []
    for number, line in enumerate(receipt.lines):
        try:
            each = resolve_line(line, on=receipt.received_on)
            _refuse_line(receipt, each)
            if each.words in {other.words for other in found}:
                words = f"{each.words} stands twice in this receipt: take one line out."
                raise Refused("received_already", words, "serial_number")
        except Refused as refused:
            raise at_line(refused, number, receipt.lines) from refused
        found.append(each)
    return found


def _refuse_line(receipt: Receipt, each: Meant) -> None:
    paper, line = receipt.paper, each.line
    if paper is None or line.is_of_another:
        if line.works:
            words = "Works restart limits only by the certificate that certifies them: bring it, or leave them out."
            raise Refused("work_not_certified", words, "works")
        if line.totals:
            words = "Totals are taken from a certificate: bring it, or leave them out."
            raise Refused("totals_without_certificate", words, "totals")
    if paper is None:
        return
    if line.is_of_another:
        if not is_of_another(line.printed_serial, line.serial_number):
            words = "Block 10 names this unit, or nobody: copy what it prints, or do not call it another's."
            raise Refused("certificate_is_its_own", words, "printed_serial")
        return
    refuse_printed(
        line.printed_serial,
        each.part,
        line.serial_number,
        is_same=line.is_same_serial,
        is_kept=True,
    )
    refuse_uncertified(paper, line.works, receipt.certifies)


def at_line(refused: Refused, number: int, lines: Sequence[ReceiptLine]) -> Refused:
    """The refusals at their line: ``lines.2.serial_number``; of a single line at the field itself."""
    if len(lines) == 1:
        return refused
    return Refused.all_of(
        [
            Refusal(each.code, each.message, f"lines.{number}.{each.field or ''}".rstrip("."))
            for each in refused.refusals
        ]
    )
