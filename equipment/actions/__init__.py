"""Everything that people do to the equipment's facts. Only these modules write them.

Every act: ``by`` (a person; permission is asked inside), ``at`` (when it is recorded, the server's
clock, read by the outer layer) and, where the sender makes one, ``act_id``: the same act again
gives the first result, and anything else under its id is refused (``act_id_used``). All rows of a call are one transaction.

    record_movements(*, by, rows: Sequence[MovementFact], act_id, at, sender_at=None, is_strict=False) -> list[Recorded]
    why_not_record(*, rows: Sequence[MovementFact], at) -> dict[int, list[Refusal]]     (writes nothing)
    enter_units(*, by, rows: Sequence[UnitFact], at) -> list[Entered]
    re_identify_units(*, by, rows: Sequence[IdentificationFact], at) -> list[Entered]
    record_life_statements(*, by, rows: Sequence[LifeStatementFact], at) -> list[Entered]
    record_certificates(*, by, rows: Sequence[CertificateFact], at) -> list[Entered]
    record_titles(*, by, rows: Sequence[TitleFact], at) -> list[Entered]
    record_sightings(*, by, rows: Sequence[SightingFact], at) -> list[Entered]
    annul_movements(*, by, rows: Sequence[AnnulmentFact], at) -> list[Entered]
    merge_units(*, by, rows: Sequence[MergeFact], at) -> list[Entered]
    correct_movement(*, by, movement_id, fact: MovementFact, act_id, at) -> Recorded
    reconcile_movements(*, by, movement_ids, act_id, at) -> list[Recorded]
    split_lot(*, by, unit_id, quantity, serial_number, when, act_id, at) -> list[Recorded]
    moves: receive_unit, install_unit, remove_unit, send_unit, … one row of record_movements each

``is_strict`` (the loader's door) refuses rows that contradict the records with
:class:`~equipment.ledger.facts.RowsRefused` (``by_row``: index -> refusals); without it they are
kept as not conforming. Rows of shape errors are refused either way.
"""
