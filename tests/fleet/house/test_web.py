from __future__ import annotations

import pytest
from django import forms
from django.db import IntegrityError, transaction
from rest_framework import serializers

from fleet.house import web
from fleet.house.refusals import Reasons, Refused
from fleet.models import Station


class ReceiptForm(forms.Form):
    serial_number = forms.CharField()


def refused_twice() -> Refused:
    reasons = Reasons()
    reasons.add("unit_known", "This serial is on record. Look the unit up.", "serial_number")
    reasons.add("store_closed", "The store of LYD is closed. Choose another.", "station")
    with pytest.raises(Refused) as caught:
        reasons.refuse()
    return caught.value


def test_a_refusal_stands_at_its_field_of_the_form():
    form = ReceiptForm({"serial_number": "A1"})
    form.is_valid()

    web.show_on_form(form, refused_twice())

    assert form.errors["serial_number"] == ["This serial is on record. Look the unit up."]
    assert form.errors.as_data()["serial_number"][0].code == "unit_known"


def test_a_refusal_at_a_field_that_the_form_lacks_stands_above_it():
    form = ReceiptForm({"serial_number": "A1"})
    form.is_valid()

    web.show_on_form(form, refused_twice())

    assert form.non_field_errors() == ["The store of LYD is closed. Choose another."]


def test_a_problem_carries_code_sentence_and_every_reason():
    problem = web.problem_of(refused_twice())

    assert problem == {
        "type": "urn:greenband:problem:unit_known",
        "title": "Unit known",
        "status": 422,
        "detail": "This serial is on record. Look the unit up.",
        "code": "unit_known",
        "errors": [
            {
                "field": "serial_number",
                "code": "unit_known",
                "message": "This serial is on record. Look the unit up.",
            },
            {
                "field": "station",
                "code": "store_closed",
                "message": "The store of LYD is closed. Choose another.",
            },
        ],
    }


def test_a_role_that_may_not_is_forbidden():
    assert (
        web.problem_of(Refused("not_permitted", "Your role does not allow this."))["status"] == 403
    )


@pytest.mark.django_db
def test_a_clash_in_the_database_comes_out_under_the_constraint_name():
    Station.objects.create(code="LYD", name="Lydmouth")
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        Station.objects.create(code="LYD", name="Another")

    refused = web.refused_by_database(caught.value)

    assert refused.code == "fleet_station_code_key"
    assert web.problem_handler(caught.value, {}).status_code == 409


def test_a_nested_shape_error_names_its_path():
    error = serializers.ValidationError(
        {"units": [{}, {"serial_number": [serializers.ErrorDetail("?", "required")]}]}
    )

    problem = web.problem_handler(error, {}).data

    assert problem["errors"] == [
        {
            "field": "units.1.serial_number",
            "code": "required",
            "message": "This is missing. Give it.",
        }
    ]
    assert problem["detail"] == "What was sent cannot be read: see units.1.serial_number."


def test_a_fault_of_ours_stays_a_fault():
    assert web.problem_handler(KeyError("band"), {}) is None
