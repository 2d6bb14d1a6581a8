"""Doors of the operator's data of how a change is done: steps, rules of signing, charts."""

from __future__ import annotations

from django.db.models import Prefetch, QuerySet
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.models import BottleChart, RuleSet, Step, StepList
from equipment.procedures.acts.charts import enter_charts
from equipment.procedures.acts.procedures import enter_rule_set, enter_step_lists
from fleet.doors.door import Door, answer
from fleet.doors.lists import listed
from fleet.doors.schema import described

from . import examples, requests, responses


def step_lists_kept() -> QuerySet[StepList]:
    """Lists with their steps in the order of the work."""
    steps = Prefetch("steps", Step.objects.order_by("number"), to_attr="steps_in_order")
    return StepList.objects.select_related("kind", "part_number").prefetch_related(steps)


class StepLists(Door):
    get = listed(
        "list_step_lists",
        tag="Procedures",
        summary="Step lists",
        description="The operator's lists of steps, each revision a list of its own, with their steps.",
        shows=responses.StepListKept,
        example=examples.STEP_LIST,
        rows=step_lists_kept,
        order=("code", "from_on", "pk"),
    )

    @described(
        tag="Procedures",
        name="enter_step_list",
        summary="Enter a step list",
        description="Enters a list of steps with all its steps. Swaps that are open keep the list that "
        "they began with. What is wrong with a step is told with its number.",
        takes=requests.StepListSent,
        sent=examples.STEP_LIST_SENT,
        answer=responses.StepListKept,
        example=examples.STEP_LIST,
        act="enter_procedures",
    )
    def post(self, request: Request) -> Response:
        new = self.brought(requests.StepListSent)["new"]
        [entered] = enter_step_lists(by=self.person, rows=[new], at=timezone.now())
        shown = step_lists_kept().get(pk=entered.id)
        return answer(responses.StepListKept(shown).data, is_new=entered.is_new)


class RuleSets(Door):
    get = listed(
        "list_rule_sets",
        tag="Procedures",
        summary="Rules of signing",
        description="The operator's rules of signing with their exact statements, by the day they hold from.",
        shows=responses.RuleSetKept,
        example=examples.RULE_SET,
        rows=RuleSet.objects.all,
        order=("from_on", "pk"),
    )

    @described(
        tag="Procedures",
        name="enter_rule_set",
        summary="Enter rules of signing",
        description="Enters the rules that hold from a day on. The statements are printed beside each "
        "signature exactly as they are sent.",
        takes=requests.RuleSetSent,
        sent=examples.RULE_SET_SENT,
        answer=responses.RuleSetKept,
        example=examples.RULE_SET,
        act="enter_procedures",
    )
    def post(self, request: Request) -> Response:
        new = self.brought(requests.RuleSetSent)["new"]
        entered = enter_rule_set(by=self.person, new=new, at=timezone.now())
        shown = RuleSet.objects.get(pk=entered.id)
        return answer(responses.RuleSetKept(shown).data, is_new=entered.is_new)


def charts_kept() -> QuerySet[BottleChart]:
    return BottleChart.objects.select_related("part_number")


class Charts(Door):
    get = listed(
        "list_charts",
        tag="Procedures",
        summary="Charts of bottles",
        description="Which pressure a bottle of a part number should show at which temperature.",
        shows=responses.ChartKept,
        example=examples.CHART,
        rows=charts_kept,
        order=("part_number__number", "pk"),
    )

    @described(
        tag="Procedures",
        name="enter_chart",
        summary="Enter a chart of a bottle",
        description="Enters a chart and answers with what is odd about it: points that the gas itself "
        "would not show are kept, and told in `odd`.",
        takes=requests.ChartSent,
        sent=examples.CHART_SENT,
        answer=responses.ChartEntered,
        example={**examples.CHART, "odd": []},
        act="enter_procedures",
    )
    def post(self, request: Request) -> Response:
        new = self.brought(requests.ChartSent)["new"]
        [entered] = enter_charts(by=self.person, rows=[new], at=timezone.now())
        shown = charts_kept().get(pk=entered.id)
        body = {**responses.ChartKept(shown).data, "odd": list(entered.odd)}
        return answer(body, is_new=entered.is_new)
