"""Who may do what: the one table that every act asks, whichever door it comes through.

The administrator sets up the house, fleet, parts and people, by sheets too; lines of a load that move
units, record works or enter a programme are refused to that role one by one before anything is applied.

A role opens doors; an authorisation (a licence, a company approval) allows a signature and is
another matter. A person may hold several roles; an API token carries exactly one, or some acts of it.
"""

from __future__ import annotations

from typing import Protocol

from .refusals import Refused

CONTROLLER = "controller"
STORES = "stores"
TECHNICIAN = "technician"
INSPECTOR = "inspector"
CERTIFYING = "certifying"
AUDITOR = "auditor"
ADMINISTRATOR = "administrator"

ROLES: tuple[tuple[str, str], ...] = (
    (CONTROLLER, "Maintenance controller"),
    (STORES, "Stores clerk"),
    (TECHNICIAN, "Technician"),
    (INSPECTOR, "Inspector"),
    (CERTIFYING, "Certifying staff"),
    (AUDITOR, "Auditor (reads all, changes nothing)"),
    (ADMINISTRATOR, "Administrator"),
)
EVERYBODY = frozenset(role for role, _ in ROLES)
LINE = frozenset({TECHNICIAN, INSPECTOR, CERTIFYING})

# act -> roles that may do it. Reading needs only a role at all.
ACTS: dict[str, frozenset[str]] = {
    "read": EVERYBODY,
    # facts of the fleet
    "load_sheets": frozenset({CONTROLLER, ADMINISTRATOR}),
    "enter_fleet_data": frozenset({CONTROLLER, ADMINISTRATOR}),
    "record_reading": frozenset({CONTROLLER, TECHNICIAN, CERTIFYING}),
    "plan_check": frozenset({CONTROLLER}),
    "plan_works": frozenset({CONTROLLER}),
    "hand_over_package": frozenset({CONTROLLER}),
    "note_finding": LINE | {CONTROLLER},
    "carry_forward": frozenset({CONTROLLER, CERTIFYING}),
    "record_aircraft_work": frozenset({CONTROLLER, CERTIFYING}),
    "close_check": LINE | {CONTROLLER},
    "release_check": frozenset({CERTIFYING}),
    "keep_drafts": frozenset({CONTROLLER}),
    "keep_views": EVERYBODY - {AUDITOR},
    # facts of the equipment
    "enter_part_data": frozenset({CONTROLLER, ADMINISTRATOR}),
    "state_cabin": frozenset({CONTROLLER, ADMINISTRATOR}),
    "receive_unit": frozenset({STORES, CONTROLLER}),
    "record_movement": LINE | {STORES, CONTROLLER},
    "correct_movement": frozenset({CONTROLLER}),
    "merge_units": frozenset({CONTROLLER}),
    "correct_unit": frozenset({CONTROLLER, STORES}),
    "state_lost_records": frozenset({CONTROLLER}),
    "record_sighting": LINE | {STORES, CONTROLLER},
    "record_life_statement": frozenset({CONTROLLER}),
    "record_certificate": frozenset({STORES, CONTROLLER}),
    # the job of a swap: a role opens the door, an authorisation allows the signature
    "enter_procedures": frozenset({CONTROLLER, ADMINISTRATOR}),
    "enter_tool": frozenset({STORES, CONTROLLER, ADMINISTRATOR}),
    "record_calibration": frozenset({STORES, CONTROLLER, ADMINISTRATOR}),
    "open_swap": LINE | {CONTROLLER},
    "enter_step": LINE,
    "sign_step": LINE,
    "inspect_step": frozenset({INSPECTOR, CERTIFYING}),
    "release_swap": frozenset({CERTIFYING}),
    "hand_over_swap": LINE,
    "call_inspector": LINE,
    "abandon_swap": LINE | {CONTROLLER},
    "correct_swap": frozenset({CERTIFYING, CONTROLLER}),
    "correct_swap_unit": frozenset({CERTIFYING}),
    "transcribe_swap": LINE | {CONTROLLER},
    "tag_unit": LINE | {STORES, CONTROLLER},
    "take_back_condemnation": frozenset({CONTROLLER, CERTIFYING}),
    "record_filling": LINE | {STORES},
    "record_discharge": LINE | {CONTROLLER},
    "record_requalification": frozenset({STORES, CONTROLLER, CERTIFYING}),
    "walk_round": LINE | {STORES, CONTROLLER},
    "settle_discrepancy": frozenset({CONTROLLER}),
    "open_item": frozenset({CONTROLLER, CERTIFYING}),
    "record_repeat_action": LINE | {CONTROLLER},
    "reserve_unit": frozenset({STORES, CONTROLLER}),
    "attach_file": LINE | {STORES, CONTROLLER},
    # stores
    "inspect_incoming": frozenset({STORES, INSPECTOR, CERTIFYING}),
    "hold_units": LINE | {STORES, CONTROLLER},
    "end_hold": frozenset({CONTROLLER, CERTIFYING}),
    "send_to_shop": frozenset({STORES, CONTROLLER}),
    "note_promise": frozenset({STORES, CONTROLLER}),
    "return_from_shop": frozenset({STORES, CONTROLLER}),
    "stow_unit": frozenset({STORES, CONTROLLER}),
    "request_purchase": frozenset({STORES, CONTROLLER}),
    "note_purchase": frozenset({STORES, CONTROLLER}),
    "print_tag": LINE | {STORES, CONTROLLER},
    "issue_unit": frozenset({STORES, CONTROLLER}),
    "count_stock": frozenset({STORES, CONTROLLER}),
    "scrap_unit": frozenset({STORES, CONTROLLER}),
    "transfer_unit": frozenset({STORES, CONTROLLER}),
    "lend_unit": frozenset({STORES, CONTROLLER}),
    "send_back": frozenset({STORES, CONTROLLER}),
    "enter_stores_data": frozenset({STORES, CONTROLLER, ADMINISTRATOR}),
    # facts of the programme
    "enter_programme": frozenset({CONTROLLER}),
    "record_work": frozenset({CONTROLLER, CERTIFYING}),
    "grant_extension": frozenset({CONTROLLER}),
    "disposition_directive": frozenset({CONTROLLER}),
    "recompute": frozenset({CONTROLLER, ADMINISTRATOR}),
    # people
    "manage_people": frozenset({ADMINISTRATOR}),
    "hand_on_jobs": frozenset({ADMINISTRATOR, CONTROLLER}),
    "manage_tokens": frozenset({ADMINISTRATOR}),
    "enter_authorisation": frozenset({ADMINISTRATOR}),
}


class Person(Protocol):
    """Anyone who acts: a signed-in user, or a token standing for one with a single role."""

    @property
    def acting_roles(self) -> frozenset[str]: ...

    @property
    def acting_acts(self) -> frozenset[str] | None:
        """The only acts that count now, where a token narrows them; None: all of the roles."""


def may(person: Person | None, act: str) -> bool:
    """Whether this person may do this act. An unknown act is a programming error: KeyError."""
    allowed = ACTS[act]
    if person is None or not allowed & person.acting_roles:
        return False
    only = getattr(person, "acting_acts", None)
    return only is None or act == "read" or act in only


def ask(person: Person | None, act: str) -> None:
    """This will refuse with ``not_permitted`` unless the person may do the act."""
    if may(person, act):
        return
    if person is not None and ACTS[act] & person.acting_roles:
        raise Refused(
            "not_permitted",
            f"This token does not allow this ({act.replace('_', ' ')}): it was made for other acts only."
            " Ask the administrator for another.",
        )
    allowed = sorted(dict(ROLES)[role] for role in ACTS[act])
    raise Refused(
        "not_permitted",
        f"Your role does not allow this ({act.replace('_', ' ')}). It is open to: {'; '.join(allowed)}.",
    )
