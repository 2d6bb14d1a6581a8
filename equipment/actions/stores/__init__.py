"""What the stores do with units. Only these modules write it.

    receive(*, by, receipt: Receipt, act_id, at) -> Receiving
    inspect_incoming(*, proof, inspection: NewInspection, act_id, at) -> IncomingInspection
    hold_units(*, by, hold: NewHold, act_id, at) -> Held;  end_hold(*, by, hold_id, words, document, act_id, at)
    send_to_shop(*, by, order: NewOrder, act_id, at);  note_promise(...);  return_from_shop(*, by, back: ShopBack, ...)
    stow_unit(*, by, unit_id, bin_name, act_id, at);  issue_unit(*, by, reservation_id, at)

A unit that fails (tagged unserviceable, in quarantine, held) frees what it was set aside for, and
whoever accepted it is told: ``freeing.free_failed``.
"""
